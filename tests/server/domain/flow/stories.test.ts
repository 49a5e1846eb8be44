// Single rules of the stories: which are dropped, kept or joined, and what is known of frost, rims and scatter.
import { describe, expect, it } from "vitest";
import { doubtOf } from "../../../../server/domain/flow/doubt.ts";
import { startFlow, stepFlow } from "../../../../server/domain/flow/flow.ts";
import type { Hypothesis } from "../../../../server/domain/flow/hypotheses.ts";
import { updatedByFlow } from "../../../../server/domain/flow/kalman.ts";
import { updateModesByFlow } from "../../../../server/domain/flow/modes.ts";
import { pruned } from "../../../../server/domain/flow/pruning.ts";
import type { FlowState } from "../../../../server/domain/flow/state.ts";
import { mixtureMeanIfNotNegative } from "../../../../server/domain/flow/truncated.ts";
import { createSimulatedBucket, followed, kinds, setup, startMs } from "./simulated-bucket.ts";

function stateOf(bucket: ReturnType<typeof createSimulatedBucket>): FlowState {
  return bucket.readings.reduce(
    (state, reading) => stepFlow(state, reading, setup).state,
    startFlow(),
  );
}

function quietState(): FlowState {
  const bucket = createSimulatedBucket({ netG: 4000 });
  bucket.run(60);
  return stateOf(bucket);
}

describe("of several stories", () => {
  const { hypotheses } = quietState();
  const settled = hypotheses[0]!;
  const excursion = {
    sinceMs: startMs,
    count: 1,
    lowestG: 0,
    highestG: 9000,
    awayCount: 0,
    awayMs: 0,
    awayNow: false,
    before: settled.accepted,
    expectedG: settled.accepted.massG,
    expectedVarianceG2: 25,
    steppedMs: startMs,
    longUnheard: false,
  };
  const fresh: Hypothesis = { ...settled, sapCount: 1 };
  const stepped: Hypothesis = { ...fresh, excursion };

  it("two that have settled at one level are one, with the weight of both", () => {
    const joined = pruned([settled, { ...stepped, sapCount: 3, logWeight: -1 }]);
    expect(joined).toHaveLength(1);
    expect(joined[0]!.logWeight).toBe(0);
    const beside = { ...settled, taken: "gust" as const, logWeight: -1 };
    const [first, second] = pruned([settled, { ...settled, logWeight: 0 }, beside]);
    expect(first!.logWeight - second!.logWeight).toBeCloseTo(Math.log(2) + 1, 9);
  });

  it("one with a step and one without stay two until they have settled", () => {
    expect(pruned([fresh, { ...stepped, logWeight: -1 }])).toHaveLength(2);
    expect(
      pruned([
        { ...fresh, sapCount: 2 },
        { ...stepped, sapCount: 3 },
      ]),
    ).toHaveLength(2);
  });

  it("two that stand at different levels stay two", () => {
    const { calm, run, runWeight } = settled.modes;
    const at = (massG: number) => ({
      calm: { ...calm, massG: calm.massG + massG },
      run: { ...run, massG: run.massG + massG },
      runWeight,
    });
    expect(pruned([settled, { ...settled, modes: at(40) }])).toHaveLength(2);
    expect(pruned([settled, { ...settled, modes: at(0.1) }])).toHaveLength(1);
  });

  it("those a million times less likely are dropped, and no more than six are kept", () => {
    const apart = (place: number, logWeight: number): Hypothesis => ({
      ...fresh,
      logWeight,
      modes: {
        ...fresh.modes,
        calm: { ...fresh.modes.calm, massG: 1000 * place },
        run: { ...fresh.modes.run, massG: 1000 * place },
      },
    });
    expect(pruned([apart(1, 0), apart(2, -13), apart(3, -15)])).toHaveLength(2);
    const many = Array.from({ length: 9 }, (_, place) => apart(place, -place));
    expect(pruned(many).map(({ logWeight }) => logWeight)).toEqual([0, -1, -2, -3, -4, -5]);
  });
});

describe("a flow that is another after the bucket was handled", () => {
  it("neither keeps the emptying from being told nor counts as sap taken", () => {
    const bucket = createSimulatedBucket({
      netG: 100,
      noiseSdG: 0,
      flowGPerH: (hour) => (hour < 6 ? 1100 : 100),
    });
    bucket.run(359.5);
    const netG = bucket.truth.netG;
    bucket.truth.away = true;
    bucket.run(2);
    bucket.truth.away = false;
    bucket.truth.netG = 50;
    bucket.run(5);
    const { events, last } = followed(bucket.readings);
    expect(events.map(({ kind }) => kind)).toEqual(["emptied"]);
    expect(Math.abs(events[0]!.deltaG - (50 - netG))).toBeLessThan(30);
    expect(Math.abs(last.flowGPerH - 100)).toBeLessThan(60);
  });
});

describe("a level", () => {
  it("that is left before it was believed was none: no sap is booked, none poured off", () => {
    const bucket = createSimulatedBucket({ netG: 4000, noiseSdG: 2 });
    bucket.run(60);
    bucket.truth.heldG = 500;
    bucket.run(1);
    bucket.truth.heldG = 2500;
    bucket.run(0.5);
    bucket.truth.heldG = 0;
    bucket.run(20);
    const { events, last } = followed(bucket.readings);
    expect(events.map(({ kind }) => kind)).toEqual(["leaned-on"]);
    expect(Math.abs(events[0]!.deltaG)).toBeLessThan(10);
    expect(Math.abs(last.netG - 4000)).toBeLessThan(10);
  });

  it("after a lift is a new one, however little it differs: hung back 8 g heavier brings no sap", () => {
    const deltas = [1, 2, 3, 4, 5, 6].map((seed) => {
      const bucket = createSimulatedBucket({ netG: 4000, seed });
      bucket.run(120);
      bucket.truth.away = true;
      bucket.run(2);
      bucket.truth.away = false;
      bucket.truth.heldG = 8;
      bucket.run(10);
      const { events, last } = followed(bucket.readings);
      expect(events.map(({ kind }) => kind)).toEqual(["lifted"]);
      expect(last.flowGPerH).toBeLessThan(25);
      return events[0]!.deltaG;
    });
    expect(deltas.every((deltaG) => deltaG !== 0)).toBe(true);
    expect(deltas.reduce((sum, deltaG) => sum + deltaG, 0) / deltas.length).toBeGreaterThan(3);
  });

  it("is believed after two weights where they come four minutes apart", () => {
    const bucket = createSimulatedBucket({ netG: 6000, stepS: 240 });
    bucket.run(240);
    bucket.truth.netG = 40;
    bucket.run(8);
    expect(kinds(followed(bucket.readings))).toEqual(["emptied"]);
  });

  it("of its own leaves the scatter as it was", () => {
    const bucket = createSimulatedBucket({ netG: 6000, noiseSdG: 0.5 });
    bucket.run(60);
    const before = stateOf(bucket).noise.varianceG2;
    bucket.truth.netG = 40;
    bucket.run(3);
    expect(stateOf(bucket).noise.varianceG2).toBe(before);
  });

  it("is less sure for half an hour, while the cell creeps", () => {
    const bucket = createSimulatedBucket({ netG: 6000 });
    bucket.run(120);
    bucket.truth.netG = 40;
    bucket.run(25);
    const creeping = followed(bucket.readings).last.netSdG;
    bucket.run(60);
    expect(creeping).toBeGreaterThan(1.2 * followed(bucket.readings).last.netSdG);
  });
});

describe("a bucket that holds more than its record says", () => {
  it("is followed past its rim, with the flow it has", () => {
    const bucket = createSimulatedBucket({ netG: 9000, flowGPerH: () => 500 });
    const small = { ...setup, capacityG: 9200 };
    bucket.run(150);
    const { last, events } = followed(bucket.readings, small);
    expect(events).toEqual([]);
    expect(Math.abs(last.flowGPerH - 500)).toBeLessThan(120);
    expect(last.full).toBe(false);
  });
});

describe("frost", () => {
  const follow = (airC: (hour: number) => number, flowGPerH: (hour: number) => number) => {
    const bucket = createSimulatedBucket({ netG: 2000, airC, flowGPerH, seed: 8 });
    bucket.run(7 * 60);
    return followed(bucket.readings.map((one) => ({ ...one, localHour: 19 }))).last.flowGPerH;
  };

  it("just fallen on warm wood stops no sap that runs", () => {
    const fallen = follow(
      (hour) => (hour < 6.5 ? 8 : -3),
      (hour) => (hour < 5 ? 0 : 300),
    );
    expect(Math.abs(fallen - 300)).toBeLessThan(80);
  });

  it("that has left the air holds back no sap, cold as the wood may be", () => {
    const left = follow(
      (hour) => (hour < 6 ? -10 : 1),
      (hour) => (hour < 6.2 ? 0 : 300),
    );
    expect(Math.abs(left - 300)).toBeLessThan(80);
  });
});

describe("drift with the temperature", () => {
  it("is told as a doubt only where it is sure", () => {
    const state = quietState();
    const [first] = state.hypotheses;
    const drifting = (driftGPerK: number, p22: number): FlowState => {
      const { calm } = first!.modes;
      const modes = { ...first!.modes, calm: { ...calm, driftGPerK, p22 } };
      return { ...state, hypotheses: [{ ...first!, modes }] };
    };
    expect(doubtOf(drifting(7, 1))).toBeUndefined();
    expect(doubtOf(drifting(7, 0.04))).toMatch(/follows the temperature/);
    expect(doubtOf(drifting(-7, 0.04))).toMatch(/follows the temperature/);
  });
});

describe("a flow known from elsewhere", () => {
  const belief = {
    massG: 1000,
    flowGPerH: 50,
    driftGPerK: 1,
    p00: 30,
    p01: 20,
    p02: 2,
    p11: 100,
    p12: 3,
    p22: 1,
  };

  it("is weighed in by its variance, with all that goes along", () => {
    const known = updatedByFlow(belief, 0, 25);
    // One scalar measurement of the second figure: gain P_i1 / (P_11 + R), covariance less gain times row.
    expect(known.flowGPerH).toBeCloseTo(50 - (100 / 125) * 50, 12);
    expect(known.massG).toBeCloseTo(1000 - (20 / 125) * 50, 12);
    expect(known.driftGPerK).toBeCloseTo(1 - (3 / 125) * 50, 12);
    expect(known.p11).toBeCloseTo((100 * 25) / 125, 12);
    expect(known.p01).toBeCloseTo((20 * 25) / 125, 12);
    expect(known.p12).toBeCloseTo((3 * 25) / 125, 12);
    expect(known.p00).toBeCloseTo(30 - 20 ** 2 / 125, 12);
    expect(known.p02).toBeCloseTo(2 - (20 * 3) / 125, 12);
    expect(known.p22).toBeCloseTo(1 - 3 ** 2 / 125, 12);
  });

  it("makes the mode likelier that expected it", () => {
    const calm = { ...belief, flowGPerH: 1 };
    const { runWeight } = updateModesByFlow({ calm, run: belief, runWeight: 0.5 }, 0, 16);
    expect(runWeight).toBeLessThan(0.3);
  });
});

describe("the mean flow over both modes, none of it below nothing", () => {
  it.each([
    [
      { weight: 0.7, mean: -20, sd: 10 },
      { weight: 0.3, mean: 40, sd: 60 },
    ],
    [
      { weight: 0.5, mean: -80, sd: 15 },
      { weight: 0.5, mean: -10, sd: 90 },
    ],
    [
      { weight: 0.98, mean: 300, sd: 20 },
      { weight: 0.02, mean: 280, sd: 50 },
    ],
  ])("is that of a sum over the densities (%j, %j)", (...parts) => {
    let sum = 0;
    let total = 0;
    for (let flow = 0.005; flow < 2000; flow += 0.01) {
      const density = parts.reduce(
        (all, { weight, mean, sd }) =>
          all + (weight / sd) * Math.exp(-0.5 * ((flow - mean) / sd) ** 2),
        0,
      );
      sum += flow * density;
      total += density;
    }
    expect(mixtureMeanIfNotNegative(parts)).toBeCloseTo(sum / total, 2);
  });

  it("is small and no less than nothing, however far below they lie", () => {
    const mean = mixtureMeanIfNotNegative([
      { weight: 0.5, mean: -900, sd: 5 },
      { weight: 0.5, mean: -700, sd: 20 },
    ]);
    expect(mean).toBeGreaterThan(0);
    expect(mean).toBeLessThan(2);
  });
});
