// Flow and mass of a bucket nobody touches: how near to the truth, and what never reaches the state.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { BucketReading } from "../../../../server/domain/bucket.ts";
import { flowEstimate, startFlow, stepFlow } from "../../../../server/domain/flow/flow.ts";
import { createSimulatedBucket, followed, setup, startMs } from "./simulated-bucket.ts";

const gPerL = 1008;

/** A day's run: from nine it rises within an hour to 1.2 L/h and falls until six in the evening. */
function runningDayGPerH(hour: number): number {
  const share = (hour - 9) / 9;
  if (share <= 0 || share >= 1) {
    return 0;
  }
  return 1200 * (share < 0.12 ? share / 0.12 : ((1 - share) / 0.88) ** 1.2);
}

const dailyAirC = (hour: number) => 2 - 6 * Math.cos(((hour - 3) / 24) * 2 * Math.PI);

function stateAfter(readings: readonly BucketReading[]) {
  return readings.reduce((state, reading) => stepFlow(state, reading, setup).state, startFlow());
}

describe("flow on a running day, 5 g of scatter, every 30 s", () => {
  const days = [1, 2, 3].map((seed) => {
    const flow = { flowGPerH: runningDayGPerH, airC: dailyAirC };
    const bucket = createSimulatedBucket({ ...flow, seed, netG: 0 });
    bucket.run(24 * 60);
    return { bucket, result: followed(bucket.readings) };
  });
  const errors = days.flatMap(({ bucket, result }) =>
    result.estimates.map((estimate, index) => ({
      errorLPerH: (estimate.flowGPerH - bucket.flows[index]!) / gPerL,
      flowGPerH: bucket.flows[index]!,
      inside:
        estimate.lowGPerH <= bucket.flows[index]! && bucket.flows[index]! <= estimate.highGPerH,
      warm: index > 20,
    })),
  );

  it("is within 0.06 L/h root mean square while it runs", () => {
    const running = errors.filter(({ flowGPerH, warm }) => warm && flowGPerH > 20);
    const sum = running.reduce((total, { errorLPerH }) => total + errorLPerH ** 2, 0);
    expect(Math.sqrt(sum / running.length)).toBeLessThan(0.06);
  });

  it("is within 0.025 L/h in 95 of 100 readings at rest", () => {
    const idle = errors
      .filter(({ flowGPerH, warm }) => warm && flowGPerH === 0)
      .map(({ errorLPerH }) => Math.abs(errorLPerH))
      .sort((one, other) => one - other);
    expect(idle[Math.floor(idle.length * 0.95)]).toBeLessThan(0.025);
  });

  it("lies in the interval at least 87 times of 100", () => {
    const inside = errors.filter((one) => one.warm && one.inside).length;
    expect(inside / errors.filter(({ warm }) => warm).length).toBeGreaterThan(0.87);
  });

  it("gives no event on a day nobody came", () => {
    expect(days.flatMap(({ result }) => result.events)).toEqual([]);
  });
});

describe("a steady flow from a cold start", () => {
  it("of 0.2 L/h is known within 0.03 L/h after ten minutes", () => {
    const squares = Array.from({ length: 40 }, (_, seed) => {
      const bucket = createSimulatedBucket({ seed: seed + 1, flowGPerH: () => 0.2 * gPerL });
      bucket.run(10);
      return (followed(bucket.readings).last.flowGPerH / gPerL - 0.2) ** 2;
    });
    expect(Math.sqrt(squares.reduce((sum, one) => sum + one, 0) / 40)).toBeLessThan(0.03);
  });

  it("without scatter is found exactly", () => {
    const bucket = createSimulatedBucket({ noiseSdG: 0, flowGPerH: () => 450 });
    bucket.run(180);
    const { last } = followed(bucket.readings);
    expect(Math.abs(last.flowGPerH - 450)).toBeLessThan(0.5);
    expect(Math.abs(last.netG - bucket.truth.netG)).toBeLessThan(0.05);
  });

  it("is never reported below nothing, nor above its interval", () => {
    const bucket = createSimulatedBucket({ flowGPerH: () => -60 });
    bucket.run(120);
    for (const estimate of followed(bucket.readings).estimates) {
      expect(estimate.lowGPerH).toBeGreaterThanOrEqual(0);
      expect(estimate.flowGPerH).toBeGreaterThan(0);
      expect(estimate.highGPerH).toBeGreaterThanOrEqual(estimate.flowGPerH);
    }
  });
});

describe("an estimate", () => {
  it("ahead of the last reading goes on with the flow, less and less sure", () => {
    const bucket = createSimulatedBucket({ flowGPerH: () => 600 });
    bucket.run(60);
    const state = stateAfter(bucket.readings);
    const nowMs = bucket.readings.at(-1)!.atMs;
    const now = flowEstimate(state, setup, nowMs);
    const later = flowEstimate(state, setup, nowMs + 1_800_000);
    expect(later.netG - now.netG).toBeGreaterThan(250);
    expect(later.netG - now.netG).toBeLessThan(350);
    expect(later.netSdG).toBeGreaterThan(now.netSdG);
    expect(later.highGPerH).toBeGreaterThan(now.highGPerH);
    expect(later.atMs).toBe(nowMs + 1_800_000);
  });

  it("before any reading knows nothing", () => {
    expect(flowEstimate(startFlow(), setup, startMs)).toMatchObject({
      starting: true,
      away: false,
      netG: 0,
      flowGPerH: 0,
    });
  });
});

describe("the same readings", () => {
  const readings = fc
    .array(
      fc.record({
        afterS: fc.integer({ min: 1, max: 2000 }),
        massG: fc.oneof(
          fc.double({ min: -50, max: 14_000, noNaN: true }),
          fc.double({ min: 2600, max: 2640, noNaN: true }),
        ),
        airC: fc.option(fc.double({ min: -20, max: 25, noNaN: true }), { nil: undefined }),
      }),
      { maxLength: 60 },
    )
    .map((steps) => {
      let atMs = startMs;
      return steps.map(({ afterS, massG, airC }): BucketReading => {
        atMs += afterS * 1000;
        // JSON knows no -0.
        return { atMs, massG, ...(airC === undefined ? {} : { airC: airC + 0 }) };
      });
    });

  it("continue alike after the state went through JSON", () => {
    fc.assert(
      fc.property(readings, fc.nat(60), (all, cut) => {
        const half = stateAfter(all.slice(0, cut));
        const stored = JSON.parse(JSON.stringify(half)) as typeof half;
        expect(stored).toEqual(half);
        const rest = all.slice(cut);
        const go = (from: typeof half) =>
          rest.reduce((state, reading) => stepFlow(state, reading, setup).state, from);
        expect(go(stored)).toEqual(go(half));
      }),
    );
  });

  it("never change the state they are given, nor make a figure that is none", () => {
    fc.assert(
      fc.property(readings, (all) => {
        let state = startFlow();
        for (const reading of all) {
          const before = JSON.stringify(state);
          const step = stepFlow(state, Object.freeze(reading), setup);
          expect(JSON.stringify(state)).toBe(before);
          state = step.state;
          const estimate = flowEstimate(state, setup, reading.atMs);
          const figures = [estimate.netG, estimate.netSdG, estimate.flowGPerH, estimate.highGPerH];
          const deltas = step.events.map((event) => event.deltaG);
          expect([...figures, ...deltas].every(Number.isFinite)).toBe(true);
        }
      }),
    );
  });

  it("with a heavier bucket give the same sap", () => {
    const bucket = createSimulatedBucket({ flowGPerH: () => 400, seed: 4 });
    bucket.run(60);
    bucket.truth.netG = 100;
    bucket.run(60);
    const heavier = bucket.readings.map((one) => ({ ...one, massG: one.massG + 333 }));
    const light = followed(bucket.readings);
    const heavy = followed(heavier, { ...setup, emptyG: setup.emptyG + 333 });
    expect(heavy.last.netG).toBeCloseTo(light.last.netG, 6);
    expect(heavy.last.flowGPerH).toBeCloseTo(light.last.flowGPerH, 6);
    expect(heavy.events.map(({ kind }) => kind)).toEqual(light.events.map(({ kind }) => kind));
  });
});

describe("what no cell can weigh, or comes too late", () => {
  const bucket = createSimulatedBucket({ flowGPerH: () => 300 });
  bucket.run(30);
  const state = stateAfter(bucket.readings);
  const nextMs = bucket.readings.at(-1)!.atMs + 30_000;

  it.each([Number.NaN, Number.POSITIVE_INFINITY, -250_000, 1e9])(
    "%d g is told as a doubt and believed in nothing",
    (massG) => {
      const step = stepFlow(state, { atMs: nextMs, massG }, setup);
      expect(step.events).toEqual([]);
      expect(step.state).toEqual({ ...state, impossible: true });
      expect(flowEstimate(step.state, setup, nextMs).doubt).toBe("the weight is out of range");
      const next = stepFlow(step.state, { atMs: nextMs, massG: 2850 }, setup);
      expect(flowEstimate(next.state, setup, nextMs).doubt).toBeUndefined();
    },
  );

  it("an air temperature that is none is as good as none", () => {
    const without = stepFlow(state, { atMs: nextMs, massG: 2850 }, setup);
    const withNone = stepFlow(state, { atMs: nextMs, massG: 2850, airC: Number.NaN }, setup);
    expect(withNone).toEqual(without);
  });

  it("a reading not newer than the last, or without a time, changes nothing", () => {
    for (const atMs of [nextMs - 30_000, nextMs - 90_000, Number.NaN]) {
      expect(stepFlow(state, { atMs, massG: 100 }, setup)).toEqual({ state, events: [] });
    }
  });
});

describe("a cell that cannot be trusted", () => {
  it("is doubted while its weight scatters far more than usual", () => {
    const quiet = createSimulatedBucket({ seed: 3 });
    quiet.run(240);
    const loose = createSimulatedBucket({ seed: 5, noiseSdG: 45 });
    loose.run(60);
    const shiftMs = quiet.readings.at(-1)!.atMs - startMs + 30_000;
    const later = loose.readings.map((one) => ({ ...one, atMs: one.atMs + shiftMs }));
    expect(followed(quiet.readings).last.doubt).toBeUndefined();
    expect(followed([...quiet.readings, ...later]).last.doubt).toBe(
      "the weight scatters far more than usual",
    );
  });

  it("is doubted when its weight never comes to rest", () => {
    const bucket = createSimulatedBucket({ noiseSdG: 5 });
    bucket.run(60);
    for (let count = 0; count < 40; count += 1) {
      bucket.truth.heldG = 500 + 700 * (count % 4);
      bucket.run(0.5);
    }
    expect(followed(bucket.readings).last.doubt).toBe("the weight does not come to rest");
  });
});

describe("drift with the temperature", () => {
  it("of a bucket at rest is not taken for flow for long", () => {
    const bucket = createSimulatedBucket({ airC: dailyAirC });
    bucket.run(72 * 60);
    const drifting = bucket.readings.map((one) => ({
      ...one,
      massG: one.massG + 2 * ((one.airC ?? 0) - 5),
    }));
    const lastDay = followed(drifting).estimates.slice(-2880);
    const flows = lastDay.map(({ flowGPerH }) => flowGPerH).sort((one, other) => one - other);
    expect(flows[Math.floor(flows.length * 0.95)]).toBeLessThan(25);
  });
});
