// The filter's core against two independent programs, against theory, and against least squares.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Belief,
  innovationOf,
  mixed,
  type ProcessNoise,
  predicted,
  relevelled,
  updated,
} from "../../server/domain/flow/kalman.ts";
import { nileFlows, nileLevels, temperatureTrend } from "./kalman-figures.ts";

const unknown: Belief = {
  massG: 0,
  flowGPerH: 0,
  driftGPerK: 0,
  p00: 0,
  p01: 0,
  p02: 0,
  p11: 0,
  p12: 0,
  p22: 0,
};
const still: ProcessNoise = { q00: 0, q01: 0, q11: 0, q22: 0 };

/** Exact covariance of a random walk of the flow over a time. */
function walk(flowNoise: number, durationH: number): ProcessNoise {
  return {
    q00: (flowNoise * durationH ** 3) / 3,
    q01: (flowNoise * durationH ** 2) / 2,
    q11: flowNoise * durationH,
    q22: 0,
  };
}

describe("local level of the Nile", () => {
  const levels = new Map<number, number>();
  let logLikelihood = 0;
  let belief = { ...unknown, p00: 1e7 };
  for (const [index, massG] of nileFlows.entries()) {
    const weighing = { massG, leverK: 0, varianceG2: 15_099 };
    const { differenceG, varianceG2 } = innovationOf(belief, weighing);
    logLikelihood -= 0.5 * (Math.log(2 * Math.PI * varianceG2) + differenceG ** 2 / varianceG2);
    belief = updated(belief, weighing);
    levels.set(1871 + index, belief.massG);
    belief = predicted(belief, 1, { ...still, q00: 1469.1 });
  }

  it.each(nileLevels)("in %d is that of R and statsmodels", (year, level) => {
    expect(Math.abs(levels.get(year)! / level - 1)).toBeLessThan(1e-9);
  });

  it("has the log-likelihood that statsmodels 0.13.5 gives, -641.585578", () => {
    expect(logLikelihood).toBeCloseTo(-641.585578, 6);
  });
});

describe("local linear trend of a temperature with blanks", () => {
  const found: Belief[] = [];
  let belief = { ...unknown, p00: 1e4, p11: 1e4 };
  for (const [tempC] of temperatureTrend) {
    const at =
      tempC === undefined ? belief : updated(belief, { massG: tempC, leverK: 0, varianceG2: 0.04 });
    found.push(at);
    belief = predicted(at, 1, { ...still, q00: 0.01, q11: 0.0004 });
  }

  const rows = temperatureTrend.map(([, level, slope], index) => ({ index, level, slope }));
  it.each(rows)("at step $index is that of R and statsmodels", ({ index, level, slope }) => {
    expect(Math.abs(found[index]!.massG - level)).toBeLessThan(1e-9);
    expect(Math.abs(found[index]!.flowGPerH - slope)).toBeLessThan(1e-9);
  });
});

describe("steady state", () => {
  // Continuous constant-velocity filter: sd(flow) = 2^(1/4) R^(1/8) S^(3/8) with R = variance x interval.
  it.each([
    [36, 5],
    [2500, 5],
    [100, 5],
    [100, 20],
  ])(
    "with flow noise %d and %d g of scatter has the flow's error of theory within 5 %%",
    (flowNoise, sdG) => {
      const stepH = 30 / 3600;
      let belief: Belief = { ...unknown, p00: 400, p11: 90_000 };
      for (let step = 0; step < 4000; step += 1) {
        belief = updated(predicted(belief, stepH, walk(flowNoise, stepH)), {
          massG: 0,
          leverK: 0,
          varianceG2: sdG ** 2,
        });
      }
      const theory = 2 ** 0.25 * (sdG ** 2 * stepH) ** 0.125 * flowNoise ** 0.375;
      expect(Math.abs(Math.sqrt(belief.p11) / theory - 1)).toBeLessThan(0.05);
    },
  );
});

describe("without process noise", () => {
  it("is the least-squares line, slope and standard error", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 10, maxLength: 40 }),
        (scatterG) => {
          const stepH = 0.05;
          const massesG = scatterG.map((one, index) => 300 * index * stepH + one);
          const hours = massesG.map((_, index) => index * stepH);
          let belief: Belief = { ...unknown, p00: 1e10, p11: 1e10 };
          for (const [index, massG] of massesG.entries()) {
            const ahead = index === 0 ? belief : predicted(belief, stepH, still);
            belief = updated(ahead, { massG, leverK: 0, varianceG2: 25 });
          }
          const meanH = hours.reduce((sum, hour) => sum + hour, 0) / hours.length;
          const spread = hours.reduce((sum, hour) => sum + (hour - meanH) ** 2, 0);
          const slope =
            hours.reduce((sum, hour, index) => sum + (hour - meanH) * massesG[index]!, 0) / spread;
          expect(Math.abs(belief.flowGPerH - slope)).toBeLessThan(1e-5);
          expect(Math.sqrt(belief.p11) / (5 / Math.sqrt(spread))).toBeCloseTo(1, 5);
        },
      ),
    );
  });

  it("finds the flow of a ramp without scatter", () => {
    let belief: Belief = { ...unknown, p00: 1e8, p11: 1e8 };
    for (let step = 0; step < 200; step += 1) {
      belief = updated(predicted(belief, 0.01, still), {
        massG: 1000 + 4.5 * step,
        leverK: 0,
        varianceG2: 1,
      });
    }
    expect(belief.flowGPerH).toBeCloseTo(450, 3);
  });
});

describe("the drift with temperature", () => {
  it("is found from a mass that stands still while the lever swings", () => {
    let belief: Belief = { ...unknown, p00: 400, p22: 4 };
    for (let step = 0; step < 300; step += 1) {
      const leverK = 10 * Math.sin(step / 20);
      belief = updated(predicted(belief, 0.01, still), {
        massG: 2000 + 1.7 * leverK,
        leverK,
        varianceG2: 4,
      });
    }
    expect(belief.driftGPerK).toBeCloseTo(1.7, 2);
  });
});

describe("a prediction", () => {
  const numbers = fc.double({ min: -100, max: 100, noNaN: true });
  const beliefs = fc
    .tuple(numbers, numbers, numbers, numbers, numbers)
    .map(([massG, flowGPerH, driftGPerK, p01, p02]) => ({
      massG,
      flowGPerH,
      driftGPerK,
      p00: 400,
      p01,
      p02: p02 / 10,
      p11: 900,
      p12: 1,
      p22: 4,
    }));

  it("in two parts is the same as in one", () => {
    fc.assert(
      fc.property(beliefs, fc.double({ min: 0.01, max: 5, noNaN: true }), (belief, durationH) => {
        const once = predicted(belief, 2 * durationH, walk(100, 2 * durationH));
        const half = predicted(belief, durationH, walk(100, durationH));
        const twice = predicted(half, durationH, walk(100, durationH));
        for (const key of Object.keys(once) as (keyof Belief)[]) {
          expect(Math.abs(twice[key] - once[key])).toBeLessThan(1e-6 * (1 + Math.abs(once[key])));
        }
      }),
    );
  });

  it("and an update leave the variances positive", () => {
    fc.assert(
      fc.property(beliefs, numbers, numbers, (belief, massG, leverK) => {
        const after = updated(predicted(belief, 0.1, walk(100, 0.1)), {
          massG,
          leverK: leverK / 10,
          varianceG2: 25,
        });
        expect(Math.min(after.p00, after.p11, after.p22)).toBeGreaterThan(0);
      }),
    );
  });

  it("a new level leaves flow and drift alone", () => {
    fc.assert(
      fc.property(beliefs, numbers, (belief, massG) => {
        const { flowGPerH, driftGPerK, p11, p12, p22 } = belief;
        const after = relevelled(belief, { massG, leverK: 3, varianceG2: 25 });
        expect(after).toMatchObject({ flowGPerH, driftGPerK, p11, p12, p22 });
        expect(after.massG + 3 * driftGPerK).toBeCloseTo(massG, 9);
      }),
    );
  });

  it("mixed with itself is itself", () => {
    fc.assert(
      fc.property(beliefs, fc.double({ min: 0, max: 1, noNaN: true }), (belief, weight) => {
        const same = mixed(belief, belief, weight);
        for (const key of Object.keys(belief) as (keyof Belief)[]) {
          expect(same[key]).toBeCloseTo(belief[key], 9);
        }
      }),
    );
  });
});
