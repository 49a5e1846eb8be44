// The cost-loss rule: when a trip is worth it, when it is urgent, and when nothing is said.
import { describe, expect, it } from "vitest";
import { decideBrim } from "../../../../server/domain/brim/decide.ts";
import type { BrimForecast } from "../../../../server/domain/brim/forecast.ts";
import { estimateOf, hourMs, nowMs, setup } from "./fixtures.ts";

const visits = { nextMs: nowMs + 2 * hourMs, afterMs: nowMs + 6 * hourMs, overnight: false };

/** Rises by `first` in the first two hours and by `second` from there to the sixth. */
function forecastOf(first: number, second: number, start = 0): BrimForecast {
  const overBy = Array.from({ length: 145 }, (_, step) => {
    const hours = step / 4;
    const early = first * Math.min(1, hours / 2);
    const late = second * Math.min(1, Math.max(0, (hours - 2) / 4));
    return start + early + late;
  });
  const times = { t10Ms: nowMs + hourMs, t50Ms: null, t90Ms: null };
  return {
    fromMs: nowMs,
    stepMs: hourMs / 4,
    overBy,
    ...times,
  };
}

function decide(forecast: BrimForecast, changes: Parameters<typeof estimateOf>[0] = {}) {
  const estimate = estimateOf(changes);
  return decideBrim({ forecast, visits, warnProbability: 0.15, estimate, setup });
}

describe("brim decision", () => {
  it("warns from the yard's probability on, for the span between the two visits", () => {
    expect(decide(forecastOf(0, 0.151))).toMatchObject({ warn: true, urgent: false });
    expect(decide(forecastOf(0, 0.149)).warn).toBe(false);
    expect(decide(forecastOf(0, 0.151)).brim.probability).toBeCloseTo(0.151, 9);
  });

  it("does not send a person out for what a visit can't prevent, unless it is most likely", () => {
    expect(decide(forecastOf(0.49, 0)).warn).toBe(false);
    expect(decide(forecastOf(0.51, 0))).toMatchObject({ warn: true, urgent: true });
  });

  it("counts from now on, not what an unsure rim had already", () => {
    expect(decide(forecastOf(0.1, 0, 0.45))).toMatchObject({ warn: false });
    expect(decide(forecastOf(0.1, 0.02, 0.45)).beforeAfterProbability).toBeCloseTo(0.12, 9);
  });

  it("is urgent at once near the rim while sap runs", () => {
    const near = { netG: 9701, flowGPerH: 21 };
    expect(decide(forecastOf(0, 0), near)).toMatchObject({ warn: true, urgent: true });
    expect(decide(forecastOf(0, 0), { ...near, netG: 9699 }).warn).toBe(false);
    expect(decide(forecastOf(0, 0), { ...near, flowGPerH: 20 }).warn).toBe(false);
  });

  it("is certain and urgent at the rim", () => {
    for (const atRim of [{ full: true }, { netG: setup.capacityG }]) {
      const decision = decide(forecastOf(0, 0, 1), atRim);
      expect(decision).toMatchObject({ warn: true, urgent: true, beforeAfterProbability: 1 });
      expect(decision.brim.probability).toBe(1);
    }
  });

  it("says when it covers the night", () => {
    const forecast = forecastOf(0, 0.2);
    const night = { ...visits, overnight: true };
    const input = { forecast, visits: night, warnProbability: 0.15, estimate: estimateOf(), setup };
    expect(decideBrim(input)).toMatchObject({ warn: true, overnight: true });
  });
});
