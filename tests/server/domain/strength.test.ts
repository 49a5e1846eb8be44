// Strength of trees beyond the plain cases: recovery of simulated trees, best of the yard, taps that dry up.
import { describe, expect, it } from "vitest";
import {
  type Strength,
  strengthsOf,
  type TreeDay,
  weakReason,
} from "../../../server/domain/strength.ts";
import { createRandom } from "../../helpers/random.ts";

type Yard = { trees: number; days: number; restSd: number; seed: number; dryingPerDay?: number };

/** Truth and days of a simulated yard; tree 0 dries up where that is asked for. */
function simulated({ trees, days, restSd, seed, dryingPerDay = 0 }: Yard) {
  const random = createRandom(seed);
  const truth = Array.from({ length: trees }, () => 0.42 * random.gaussian());
  const ofDays = Array.from({ length: days }, () => 0.8 + 0.6 * random.gaussian());
  const cells = ofDays.flatMap((ofDay, day) =>
    truth.map((ofTree, tree): TreeDay => {
      const drying = tree === 0 ? dryingPerDay * day : 0;
      const level = ofDay + ofTree + drying + restSd * random.gaussian();
      return {
        treeId: `t${tree}`,
        day: new Date(Date.UTC(2026, 2, 1 + day)).toISOString().slice(0, 10),
        perTapL: Math.exp(level) - 0.05,
        lowerBound: false,
      };
    }),
  );
  return { truth, cells, random };
}

function rankCorrelation(one: readonly number[], other: readonly number[]): number {
  const ranks = (values: readonly number[]) => {
    const sorted = [...values].sort((a, b) => a - b);
    return values.map((value) => sorted.indexOf(value));
  };
  const [a, b] = [ranks(one), ranks(other)];
  const squares = a.reduce((sum, rank, index) => sum + (rank - (b[index] ?? 0)) ** 2, 0);
  return 1 - (6 * squares) / (a.length * (a.length ** 2 - 1));
}

const strengthsIn = (found: Map<string, Strength>, count: number) =>
  Array.from({ length: count }, (_, tree) => found.get(`t${tree}`)!);

describe("simulated yards", () => {
  it("are ranked as they are after ten run days, by 0.9 or more on average", () => {
    const correlations = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) => {
      const { truth, cells } = simulated({ trees: 12, days: 10, restSd: 0.4, seed });
      const found = strengthsIn(strengthsOf(cells), 12).map(({ strength }) => strength);
      return rankCorrelation(found, truth);
    });
    const mean = correlations.reduce((sum, one) => sum + one, 0) / correlations.length;
    expect(mean).toBeGreaterThanOrEqual(0.9);
  });

  it("have their trees within the 90 % interval about nine times in ten", () => {
    let inside = 0;
    for (let seed = 11; seed <= 40; seed += 1) {
      const { truth, cells, random } = simulated({ trees: 12, days: 12, restSd: 0.5, seed });
      const mean = truth.reduce((sum, one) => sum + one, 0) / truth.length;
      const kept = cells.filter(() => random.uniform() > 0.3);
      strengthsIn(strengthsOf(kept), 12).forEach(({ low, high }, tree) => {
        const ratio = Math.exp((truth[tree] ?? 0) - mean);
        inside += Number(low <= ratio && ratio <= high);
      });
    }
    expect(inside / 360).toBeGreaterThan(0.85);
    expect(inside / 360).toBeLessThan(0.95);
  });

  it("keep a tree's strength within two standard errors when a third of the cells is dropped", () => {
    let held = 0;
    for (let seed = 51; seed <= 70; seed += 1) {
      const { cells, random } = simulated({ trees: 12, days: 12, restSd: 0.5, seed });
      const whole = strengthsIn(strengthsOf(cells), 12);
      const partly = strengthsIn(strengthsOf(cells.filter(() => random.uniform() > 0.3)), 12);
      partly.forEach(({ strength, low, high }, tree) => {
        const sd = Math.log(high / low) / (2 * 1.645);
        held += Number(Math.abs(Math.log(strength / whole[tree]!.strength)) < 2 * sd);
      });
    }
    expect(held / 240).toBeGreaterThanOrEqual(0.95);
  });

  it("tell the best tree with a probability that is neither bold nor shy", () => {
    let told = 0;
    let came = 0;
    for (let seed = 101; seed <= 180; seed += 1) {
      const { truth, cells } = simulated({ trees: 8, days: 8, restSd: 0.5, seed });
      const found = strengthsIn(strengthsOf(cells), 8);
      const sum = found.reduce((total, { bestProbability }) => total + bestProbability, 0);
      expect(sum).toBeCloseTo(1, 9);
      const first = found.reduce((best, one) =>
        one.bestProbability > best.bestProbability ? one : best,
      );
      told += first.bestProbability;
      came += Number(truth.indexOf(Math.max(...truth)) === found.indexOf(first));
    }
    expect(Math.abs(told - came) / 80).toBeLessThan(0.12);
  });
});

describe("a weak tap", () => {
  it("is one that falls behind the yard, by about what it does", () => {
    const { cells } = simulated({ trees: 8, days: 24, restSd: 0.3, seed: 5, dryingPerDay: -0.08 });
    const found = strengthsIn(strengthsOf(cells), 8);
    expect(weakReason(found[0]!)).toMatch(/falls behind the yard by about \d+ % a week/);
    expect(found[0]!.fallingProbability).toBeGreaterThan(0.95);
    for (const sound of found.slice(1)) expect(weakReason(sound) ?? "").not.toContain("behind");
  });

  it("is seldom seen in a yard where none dries up", () => {
    let called = 0;
    for (let seed = 201; seed <= 240; seed += 1) {
      const { cells } = simulated({ trees: 8, days: 20, restSd: 0.4, seed });
      const reasons = strengthsIn(strengthsOf(cells), 8).map(weakReason);
      called += reasons.filter((reason) => reason?.startsWith("falls behind")).length;
    }
    expect(called / 320).toBeLessThan(0.08);
  });

  it("is one that gives clearly less, once it was heard often enough", () => {
    const base = { bestProbability: 0, trendPerDay: 0, fallingProbability: 0.5 };
    const weak = { ...base, strength: 0.5, low: 0.4, high: 0.65, days: 6 };
    expect(weakReason(weak)).toContain("clearly less");
    expect(weakReason({ ...weak, days: 3 })).toBeNull();
    expect(weakReason({ ...weak, high: 0.8 })).toBeNull();
  });
});

it("censored days count for more than they held, and for no more than fits the rest", () => {
  const { cells } = simulated({ trees: 6, days: 12, restSd: 0.3, seed: 9 });
  const bounded = cells.map((cell) =>
    cell.treeId === "t1" && cell.perTapL > 2 ? { ...cell, perTapL: 2, lowerBound: true } : cell,
  );
  const cut = bounded.map((cell) => ({ ...cell, lowerBound: false }));
  const strength = (days: readonly TreeDay[]) => strengthsOf(days).get("t1")!.strength;
  expect(strength(bounded)).toBeGreaterThan(strength(cut));
  expect(Math.abs(Math.log(strength(bounded) / strength(cells)))).toBeLessThan(
    Math.abs(Math.log(strength(cut) / strength(cells))),
  );
});
