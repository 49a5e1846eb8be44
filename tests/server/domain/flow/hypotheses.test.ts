// Stories told of the same readings: which die, which become one, and what none of them may do.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { BucketReading } from "../../../../server/domain/bucket.ts";
import { startFlow, stepFlow } from "../../../../server/domain/flow/flow.ts";
import type { Belief } from "../../../../server/domain/flow/kalman.ts";
import { combined } from "../../../../server/domain/flow/modes.ts";
import type { FlowState } from "../../../../server/domain/flow/state.ts";
import { createRandom } from "../../../helpers/random.ts";
import { createSimulatedBucket, followed, kinds, setup, startMs } from "./simulated-bucket.ts";

function stateAfter(readings: readonly BucketReading[]): FlowState {
  return readings.reduce((state, reading) => stepFlow(state, reading, setup).state, startFlow());
}

/** Every pair of its three figures has a covariance that can be. */
function isPossible({ p00, p01, p02, p11, p12, p22 }: Belief): boolean {
  const has = (one: number, other: number, both: number) =>
    one > 0 && other > 0 && both * both <= (1 + 1e-9) * one * other;
  return has(p00, p11, p01) && has(p00, p22, p02) && has(p11, p22, p12);
}

const seeds = [1, 2, 3, 4, 5, 6, 7, 8];
const changesMass = ["load-added", "emptied", "poured-off"];

describe("stories that come to the same", () => {
  it.each(seeds)(
    "are one some minutes after a stray weight, and the next event is told (seed %d)",
    (seed) => {
      const bucket = createSimulatedBucket({ netG: 5000, flowGPerH: () => 200, seed });
      bucket.run(60);
      for (const heldG of [25, 60, -30, 3000]) {
        bucket.truth.heldG = heldG;
        bucket.run(0.5);
        bucket.truth.heldG = 0;
        bucket.run(12);
        expect(stateAfter(bucket.readings).hypotheses).toHaveLength(1);
      }
      bucket.truth.netG = 30;
      bucket.run(12);
      expect(kinds(followed(bucket.readings)).at(-1)).toBe("emptied");
    },
  );
});

describe("gusts", () => {
  it.each([40, 60, 90].flatMap((gustG) => seeds.map((seed) => [gustG, seed] as const)))(
    "of %d g are no load and no gathering (seed %d)",
    (gustG, seed) => {
      const random = createRandom(seed + 100);
      const bucket = createSimulatedBucket({ netG: 4000, flowGPerH: () => 250, seed });
      bucket.run(60);
      for (let gust = 0; gust < 6; gust += 1) {
        const readings = 2 + 4 * gust;
        for (let count = 0; count < readings; count += 1) {
          bucket.truth.heldG = gustG * random.gaussian();
          bucket.run(0.5);
        }
        bucket.truth.heldG = 0;
        bucket.run(15);
      }
      const result = followed(bucket.readings);
      expect(kinds(result).filter((kind) => changesMass.includes(kind))).toEqual([]);
      const bookedG = result.events.reduce((sum, { deltaG }) => sum + Math.abs(deltaG), 0);
      expect(bookedG).toBeLessThan(60);
      expect(Math.abs(result.last.netG - bucket.truth.netG)).toBeLessThan(12);
    },
  );
});

describe("a small load", () => {
  it.each(seeds)("of 90 g on a quiet cell is a load, not sap (seed %d)", (seed) => {
    const bucket = createSimulatedBucket({ netG: 3000, noiseSdG: 3, seed });
    bucket.run(60);
    bucket.truth.heldG = 90;
    bucket.run(20);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual(["load-added"]);
    expect(Math.abs((result.events[0]?.deltaG ?? 0) - 90)).toBeLessThan(15);
    expect(result.last.flowGPerH).toBeLessThan(60);
  });
});

describe("the scatter of a cell", () => {
  it("is not taken for larger when sap begins to run all at once", () => {
    const flowGPerH = (hour: number) => (hour < 2 ? 0 : 1400);
    for (const stepS of [30, 120]) {
      const bucket = createSimulatedBucket({ netG: 500, flowGPerH, stepS, seed: 6 });
      bucket.run(120);
      const before = stateAfter(bucket.readings).noise.varianceG2;
      bucket.run(12);
      const after = stateAfter(bucket.readings).noise.varianceG2;
      expect(Math.sqrt(after)).toBeLessThan(1.35 * Math.sqrt(before));
    }
  });

  it("follows a rising wind within ten minutes", () => {
    const bucket = createSimulatedBucket({ netG: 3000, seed: 2 });
    bucket.run(60);
    const windy = createSimulatedBucket({ netG: 3000, seed: 3, noiseSdG: 25 });
    windy.run(12);
    const shiftMs = (bucket.readings.at(-1)?.atMs ?? 0) - startMs + 30_000;
    const later = windy.readings.map((one) => ({ ...one, atMs: one.atMs + shiftMs }));
    const all = [...bucket.readings, ...later];
    expect(Math.sqrt(stateAfter(all).noise.varianceG2)).toBeGreaterThan(15);
    expect(kinds(followed(all))).toEqual([]);
  });
});

describe("a night of hard frost", () => {
  const airC = () => -8;
  function night(localHour: number | undefined, drift = 0) {
    const bucket = createSimulatedBucket({ netG: 3000, airC, flowGPerH: () => drift, seed: 4 });
    bucket.run(6 * 60);
    const readings = bucket.readings.map((one) =>
      localHour === undefined ? one : { ...one, localHour },
    );
    return followed(readings).last;
  }

  it("is known to bring no sap, more surely than the weights alone tell", () => {
    expect(night(2).highGPerH).toBeLessThan(0.75 * night(undefined).highGPerH);
  });

  it("is not known by day, when the sun may be on the stem", () => {
    expect(night(12)).toEqual(night(undefined));
  });

  it("that makes a bucket heavier does so by snow: no sap in the books", () => {
    const bucket = createSimulatedBucket({ netG: 3000, airC, seed: 4 });
    bucket.run(3 * 60);
    for (let count = 0; count < 60; count += 1) {
      bucket.truth.heldG += 4;
      bucket.run(0.5);
    }
    bucket.run(60);
    const { last, slots } = followed(bucket.readings.map((one) => ({ ...one, localHour: 2 })));
    expect(Math.abs(slots.reduce((sum, { inflowG }) => sum + inflowG, 0))).toBeLessThan(10);
    expect(Math.abs(last.netG - 3240)).toBeLessThan(30);
    expect(last.flowGPerH).toBeLessThan(30);
  });

  it("brings no run, however steadily it snows", () => {
    for (const seed of [1, 2, 3]) {
      const bucket = createSimulatedBucket({ netG: 3000, airC, seed });
      bucket.run(3 * 60);
      for (let count = 0; count < 240; count += 1) {
        bucket.truth.heldG += 1;
        bucket.run(0.5);
      }
      const { estimates } = followed(bucket.readings.map((one) => ({ ...one, localHour: 2 })));
      const flows = estimates.slice(360).map(({ flowGPerH }) => flowGPerH);
      expect(Math.max(...flows)).toBeLessThan(60);
    }
  });

  it("whose snow melts by day takes no sap from the books", () => {
    const bucket = createSimulatedBucket({ netG: 3000, airC: (hour) => (hour < 5 ? -8 : 4) });
    bucket.run(3 * 60);
    for (let count = 0; count < 60; count += 1) {
      bucket.truth.heldG += 3;
      bucket.run(0.5);
    }
    bucket.run(2 * 60);
    for (let count = 0; count < 480; count += 1) {
      bucket.truth.heldG = Math.max(0, bucket.truth.heldG - 0.5);
      bucket.run(0.5);
    }
    const hourOf = (atMs: number) => (atMs - startMs) / 3_600_000;
    const { slots } = followed(
      bucket.readings.map((one) => ({ ...one, localHour: hourOf(one.atMs) < 5 ? 2 : 12 })),
    );
    expect(Math.abs(slots.reduce((sum, { inflowG }) => sum + inflowG, 0))).toBeLessThan(20);
  });
});

describe("a cell whose zero follows the temperature", () => {
  it("by more than 6 g/K is doubted, by 2 g/K it is not", () => {
    const airC = (hour: number) => (Math.floor(hour / 4) % 2 === 0 ? -6 : 9);
    const driftingBy = (gPerK: number) => {
      const bucket = createSimulatedBucket({ netG: 4000, airC });
      bucket.run(48 * 60);
      let cellC = -6;
      return bucket.readings.map((one) => {
        cellC += (1 - Math.exp(-30 / 1500)) * ((one.airC ?? 0) - cellC);
        return { ...one, massG: one.massG + gPerK * (cellC - 5) };
      });
    };
    expect(followed(driftingBy(9)).last.doubt).toBe(
      "the weight of the cell follows the temperature too much",
    );
    expect(followed(driftingBy(2)).last.doubt).toBeUndefined();
  });
});

describe("whatever is weighed", () => {
  const readings = fc
    .array(
      fc.record({
        afterS: fc.integer({ min: 5, max: 4000 }),
        massG: fc.oneof(
          fc.double({ min: -50, max: 14_000, noNaN: true }),
          fc.double({ min: 2600, max: 2640, noNaN: true }),
          fc.double({ min: 11_600, max: 11_900, noNaN: true }),
        ),
        airC: fc.double({ min: -20, max: 25, noNaN: true }),
        localHour: fc.double({ min: 0, max: 24, noNaN: true }),
      }),
      { maxLength: 80 },
    )
    .map((steps) => {
      let atMs = startMs;
      return steps.map(({ afterS, ...one }): BucketReading => {
        atMs += afterS * 1000;
        return { ...one, atMs };
      });
    });

  it("there are few stories, the likeliest first, and each is surely possible", () => {
    fc.assert(
      fc.property(readings, (all) => {
        let state = startFlow();
        for (const reading of all) {
          state = stepFlow(state, reading, setup).state;
          const { hypotheses } = state;
          expect(hypotheses.length).toBeLessThanOrEqual(6);
          const weights = hypotheses.map(({ logWeight }) => logWeight);
          expect(weights).toEqual([...weights].sort((one, other) => other - one));
          expect(weights[0] ?? 0).toBe(0);
          for (const { modes } of hypotheses) {
            expect(isPossible(modes.calm) && isPossible(modes.run)).toBe(true);
            expect(modes.runWeight > 0 && modes.runWeight < 1).toBe(true);
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it("a step of the load never moves the flow by three standard deviations", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 50 }),
        fc.double({ min: -4500, max: 5000, noNaN: true }),
        fc.double({ min: 0, max: 900, noNaN: true }),
        (seed, loadG, flowGPerH) => {
          fc.pre(Math.abs(loadG) > 250);
          const bucket = createSimulatedBucket({ netG: 5000, flowGPerH: () => flowGPerH, seed });
          bucket.run(60);
          const before = combined(stateAfter(bucket.readings).hypotheses[0]!.modes);
          bucket.truth.heldG = loadG;
          bucket.run(1.5);
          const after = combined(stateAfter(bucket.readings).hypotheses[0]!.modes);
          const sdGPerH = Math.sqrt(before.p11 + after.p11);
          expect(Math.abs(after.flowGPerH - before.flowGPerH)).toBeLessThan(3 * sdGPerH);
        },
      ),
      { numRuns: 40 },
    );
  });

  it("any constant added to all weights and the bucket leaves the sap as it was", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 99 }),
        fc.integer({ min: 0, max: 3000 }),
        (seed, moreG) => {
          const bucket = createSimulatedBucket({ flowGPerH: () => 300, seed });
          bucket.run(40);
          bucket.truth.heldG = 900;
          bucket.run(1);
          bucket.truth.heldG = 0;
          bucket.run(20);
          const heavier = bucket.readings.map((one) => ({ ...one, massG: one.massG + moreG }));
          const light = followed(bucket.readings);
          const heavy = followed(heavier, { ...setup, emptyG: setup.emptyG + moreG });
          expect(heavy.last.netG).toBeCloseTo(light.last.netG, 5);
          expect(heavy.last.flowGPerH).toBeCloseTo(light.last.flowGPerH, 5);
        },
      ),
      { numRuns: 20 },
    );
  });
});
