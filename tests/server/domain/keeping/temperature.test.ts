// The bucket's enthalpy node: analytic cases, phase changes, and a fine numeric integration as oracle.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  enthalpyOfLiquidJ,
  exchangeWPerK,
  type NodeStep,
  sapFreezesC,
  sapNode,
  stepEnthalpyJ,
} from "../../../../server/domain/keeping/temperature.ts";

const still = { inflowGPerH: 0, inflowC: 0 };

function fineEuler(step: NodeStep, seconds: number): number {
  let enthalpyJ = step.enthalpyJ;
  const exchange = exchangeWPerK(step.massG);
  const inflowW = (step.inflowGPerH / 3600) * 4.12 * (step.inflowC - sapFreezesC);
  for (let passed = 0; passed < step.dtH * 3600; passed += seconds) {
    const { tempC } = sapNode(enthalpyJ, step.massG);
    const sunW = 0.03 * (step.sunWPerM2 ?? 0);
    enthalpyJ += seconds * (exchange * (step.airC - tempC) + sunW + inflowW);
  }
  return enthalpyJ;
}

const anyStep = fc.record({
  massG: fc.double({ min: 500, max: 15_000, noNaN: true }),
  startC: fc.double({ min: -8, max: 15, noNaN: true }),
  startIce: fc.double({ min: 0, max: 1, noNaN: true }),
  airC: fc.double({ min: -15, max: 20, noNaN: true }),
  sunWPerM2: fc.double({ min: 0, max: 600, noNaN: true }),
  inflowGPerH: fc.double({ min: 0, max: 800, noNaN: true }),
  inflowC: fc.double({ min: -0.11, max: 6, noNaN: true }),
});

function stepFrom(one: typeof anyStep extends fc.Arbitrary<infer T> ? T : never, dtH: number) {
  const meltJ = 327 * one.massG;
  const warm = (one.startC - sapFreezesC) * one.massG * 4.12;
  const enthalpyJ = one.startC > 0 ? warm : -one.startIce * meltJ * 1.05;
  return { ...one, enthalpyJ, dtH };
}

describe("sap temperature", () => {
  it("trades heat by the bucket's wetted area", () => {
    // The design's own reference: 0.93, 1.44 and 2.1 W/K at 1, 5 and 10 kg.
    expect(exchangeWPerK(1000)).toBeCloseTo(0.93, 2);
    expect(exchangeWPerK(5000)).toBeCloseTo(1.44, 1);
    expect(exchangeWPerK(10_000)).toBeCloseTo(2.1, 1);
  });

  it("cools along an exponential while liquid", () => {
    const massG = 5000;
    const tauH = (massG * 4.12) / exchangeWPerK(massG) / 3600;
    const enthalpyJ = enthalpyOfLiquidJ(12, massG);
    for (const dtH of [0.5, tauH, 3 * tauH]) {
      const { tempC } = sapNode(stepEnthalpyJ({ ...still, enthalpyJ, massG, airC: 2, dtH }), massG);
      expect(tempC).toBeCloseTo(2 + 10 * Math.exp(-dtH / tauH), 9);
    }
  });

  it("reaches the freezing point and then makes ice at a steady rate", () => {
    const massG = 5000;
    const exchange = exchangeWPerK(massG);
    const tauH = (massG * 4.12) / exchange / 3600;
    const coolH = tauH * Math.log((6 + 6) / (sapFreezesC + 6));
    const iceAt = (dtH: number) => {
      const enthalpyJ = enthalpyOfLiquidJ(6, massG);
      return sapNode(stepEnthalpyJ({ ...still, enthalpyJ, massG, airC: -6, dtH }), massG);
    };
    expect(iceAt(coolH - 0.01)).toMatchObject({ iceFraction: 0 });
    const rate = (exchange * (sapFreezesC + 6) * 3600) / (massG * 327);
    expect(iceAt(24).iceFraction).toBeCloseTo(rate * (24 - coolH), 9);
    expect(iceAt(24).tempC).toBe(sapFreezesC);
  });

  it("goes on cooling as ice once all is frozen, and never below the air", () => {
    const massG = 1000;
    const step = { ...still, enthalpyJ: 0, massG, airC: -10, dtH: 72 };
    const frozen = sapNode(stepEnthalpyJ(step), massG);
    expect(frozen.iceFraction).toBe(1);
    expect(frozen.tempC).toBeLessThan(-5);
    expect(frozen.tempC).toBeGreaterThan(-10);
  });

  it("thaws back from solid through all three phases in one step", () => {
    const massG = 1000;
    const frozenJ = stepEnthalpyJ({ ...still, enthalpyJ: 0, massG, airC: -10, dtH: 72 });
    const thawed = stepEnthalpyJ({ ...still, enthalpyJ: frozenJ, massG, airC: 10, dtH: 200 });
    expect(sapNode(thawed, massG).tempC).toBeCloseTo(10, 2);
  });

  it("is warmed by the sun to no more than its share over the air", () => {
    const massG = 10_000;
    const step = { ...still, enthalpyJ: 0, massG, airC: 5, sunWPerM2: 500, dtH: 1000 };
    const overC = (0.03 * 500) / exchangeWPerK(massG);
    expect(sapNode(stepEnthalpyJ(step), massG).tempC).toBeCloseTo(5 + overC, 6);
  });

  it("agrees with a fine numeric integration through every phase", () => {
    fc.assert(
      fc.property(anyStep, (one) => {
        const step = stepFrom(one, 4);
        const scaleJ = one.massG * 4.12;
        const exact = stepEnthalpyJ(step) / scaleJ;
        const fine = fineEuler(step, 2) / scaleJ;
        expect(Math.abs(exact - fine)).toBeLessThan(0.02);
      }),
      { numRuns: 60 },
    );
  });

  it("gives the same in one step as in many", () => {
    fc.assert(
      fc.property(anyStep, (one) => {
        const whole = stepEnthalpyJ(stepFrom(one, 6));
        let parts = stepFrom(one, 0).enthalpyJ;
        for (let part = 0; part < 24; part += 1) {
          parts = stepEnthalpyJ({ ...stepFrom(one, 0.25), enthalpyJ: parts });
        }
        expect(Math.abs(whole - parts)).toBeLessThan(1e-6 * one.massG * 327);
      }),
    );
  });

  it("never falls with warmer air", () => {
    fc.assert(
      fc.property(anyStep, fc.double({ min: 0, max: 10, noNaN: true }), (one, moreC) => {
        const step = stepFrom(one, 3);
        const warmer = stepEnthalpyJ({ ...step, airC: step.airC + moreC });
        expect(warmer).toBeGreaterThanOrEqual(stepEnthalpyJ(step) - 1e-6);
      }),
    );
  });

  it("lags a daily swing as a first-order node does", () => {
    const massG = 5000;
    const tauH = (massG * 4.12) / exchangeWPerK(massG) / 3600;
    const omega = (2 * Math.PI) / 24;
    let enthalpyJ = enthalpyOfLiquidJ(10, massG);
    let high = Number.NEGATIVE_INFINITY;
    for (let minute = 0; minute < 6 * 1440; minute += 5) {
      const airC = 10 + 5 * Math.sin(omega * ((minute + 2.5) / 60));
      enthalpyJ = stepEnthalpyJ({ ...still, enthalpyJ, massG, airC, dtH: 5 / 60 });
      high = minute > 4 * 1440 ? Math.max(high, sapNode(enthalpyJ, massG).tempC) : high;
    }
    expect(high - 10).toBeCloseTo(5 / Math.sqrt(1 + (omega * tauH) ** 2), 2);
  });

  it("gains the heat that crosses its wall, no more and no less, over days of freezing and thawing", () => {
    const massG = 4000;
    const exchange = exchangeWPerK(massG);
    const stepS = 20;
    let enthalpyJ = enthalpyOfLiquidJ(5, massG);
    const startJ = enthalpyJ;
    let crossedJ = 0;
    let iciest = 0;
    for (let second = 0; second < 3 * 86_400; second += stepS) {
      const airC = -3 + 10 * Math.sin((2 * Math.PI * second) / 86_400);
      const before = sapNode(enthalpyJ, massG);
      enthalpyJ = stepEnthalpyJ({ ...still, enthalpyJ, massG, airC, dtH: stepS / 3600 });
      const after = sapNode(enthalpyJ, massG);
      iciest = Math.max(iciest, after.iceFraction);
      crossedJ += stepS * exchange * (airC - (before.tempC + after.tempC) / 2);
    }
    expect(iciest).toBeGreaterThan(0.1);
    expect(Math.abs(enthalpyJ - startJ - crossedJ) / (massG * 327)).toBeLessThan(1e-5);
  });

  it("holds a nearly empty bucket to a least mass", () => {
    expect(sapNode(100, 0).tempC).toBeLessThan(1);
    const step = { ...still, enthalpyJ: 0, massG: 0, airC: 5, dtH: 10 };
    expect(Number.isFinite(stepEnthalpyJ(step))).toBe(true);
  });
});
