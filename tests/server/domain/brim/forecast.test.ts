// The brim forecast where nobody measures the air: its limits, its monotone laws, and what it makes of flow and past days.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type ForecastInput,
  forecastBrim,
  inflowAhead,
  inflowQuantiles,
  overBefore,
  probabilityBetween,
} from "../../../../server/domain/brim/forecast.ts";
import { startHistory } from "../../../../server/domain/brim/history.ts";
import { daytimeRun, estimateOf, historyOf, hourMs, nowMs, setup, unheardAir } from "./fixtures.ts";

const quietDays = historyOf(10, () => 0);
const runDays = historyOf(10, daytimeRun(300));

const anyEstimate = fc.record({
  netG: fc.double({ min: 0, max: 12_000, noNaN: true }),
  flowGPerH: fc.double({ min: -20, max: 1500, noNaN: true }),
  widthGPerH: fc.double({ min: 0, max: 400, noNaN: true }),
});

function forecastOf(changes: Parameters<typeof estimateOf>[0], history = runDays) {
  return forecastBrim({
    nowMs,
    source: "gate",
    estimate: estimateOf(changes),
    setup,
    past: unheardAir(history),
  });
}

function inflowLOf(
  input: Pick<ForecastInput, "past" | "yard"> & { estimate?: ForecastInput["estimate"] },
) {
  return inflowQuantiles(
    inflowAhead({ nowMs, source: "gate", estimate: estimateOf(), setup, ...input }),
  );
}

describe("brim forecast without a thermometer", () => {
  it("reaches 36 h in steps of 15 min", () => {
    const forecast = forecastOf({});
    expect(forecast.overBy).toHaveLength(145);
    expect(forecast.stepMs).toBe(900_000);
    expect(inflowLOf({ past: unheardAir(runDays) }).p50).toHaveLength(36);
  });

  it("never falls with time and stays a probability", () => {
    fc.assert(
      fc.property(anyEstimate, ({ netG, flowGPerH, widthGPerH }) => {
        const { overBy } = forecastOf({
          netG,
          flowGPerH,
          lowGPerH: flowGPerH - widthGPerH,
          highGPerH: flowGPerH + widthGPerH,
        });
        overBy.forEach((over, index) => {
          expect(over).toBeGreaterThanOrEqual(overBy[index - 1] ?? 0);
          expect(over).toBeLessThanOrEqual(1);
        });
      }),
      { numRuns: 40 },
    );
  });

  it("never falls with the mass that is in already", () => {
    fc.assert(
      fc.property(anyEstimate, fc.double({ min: 0, max: 3000, noNaN: true }), (one, moreG) => {
        const less = forecastOf({ netG: one.netG, flowGPerH: one.flowGPerH });
        const more = forecastOf({ netG: one.netG + moreG, flowGPerH: one.flowGPerH });
        less.overBy.forEach((over, index) => {
          expect(more.overBy[index]).toBeGreaterThanOrEqual(over);
        });
      }),
      { numRuns: 40 },
    );
  });

  it("is certain at the rim, by mass or by the filter's word", () => {
    for (const atRim of [{ netG: setup.capacityG }, { full: true }]) {
      const forecast = forecastOf(atRim, quietDays);
      expect(forecast.overBy.every((over) => over === 1)).toBe(true);
      expect(forecast.t90Ms).toBe(nowMs);
    }
  });

  it("is nothing for a bucket without end", () => {
    const estimate = estimateOf({ flowGPerH: 500 });
    const endless = { ...setup, capacityG: 1e9 };
    const forecast = forecastBrim({
      nowMs,
      source: "gate",
      estimate,
      setup: endless,
      past: unheardAir(runDays),
    });
    expect(forecast.overBy.every((over) => over === 0)).toBe(true);
    expect(forecast.t10Ms).toBeNull();
  });

  it("is nothing before anything has run in, however near the rim it may stand", () => {
    for (const netG of [9000, 9900, 9999]) {
      const { overBy } = forecastOf({ netG }, quietDays);
      expect(overBy.every((over) => over === 0)).toBe(true);
    }
  });

  it("counts all that an unsure rim leaves open once sap runs", () => {
    const { overBy } = forecastOf({ netG: 9950, flowGPerH: 100 }, quietDays);
    expect(overBy[0]).toBe(0);
    expect(overBy[4]).toBeGreaterThan(0.5);
  });

  it("is driven over by ice that swells, though nothing runs in", () => {
    const roomShare = Array.from({ length: 145 }, (_, step) => Math.max(0.91, 1 - step / 1000));
    const { overBy } = forecastBrim({
      nowMs,
      source: "gate",
      estimate: estimateOf({ netG: 9500 }),
      setup,
      past: unheardAir(quietDays),
      roomShare,
    });
    expect(overBy[0]).toBe(0);
    expect(overBy.at(-1)).toBeGreaterThan(0.9);
  });

  it("puts the middle time where steady flow fills the headroom", () => {
    const steady = historyOf(10, () => 400);
    const forecast = forecastOf({ netG: 8000, flowGPerH: 400 }, steady);
    const hours = ((forecast.t50Ms ?? 0) - nowMs) / hourMs;
    expect(hours).toBeGreaterThan(4.7);
    expect(hours).toBeLessThan(5.3);
  });

  it("orders the early, middle and late time", () => {
    const { t10Ms, t50Ms, t90Ms } = forecastOf({ netG: 8800, flowGPerH: 300 });
    expect(t10Ms).toBeLessThan(t50Ms ?? 0);
    expect(t50Ms).toBeLessThan(t90Ms ?? 0);
  });

  it("lets the flow of now give way to the past days", () => {
    const estimate = estimateOf({ netG: 5000, flowGPerH: 600 });
    const lastL = inflowLOf({ past: unheardAir(quietDays), estimate }).p50.at(-1) ?? 0;
    // 600 g/h that fades in 3 h leaves 1800 g.
    expect(lastL).toBeCloseTo(1.8 / 1.0079, 1);
  });

  it("expects tomorrow's run although nothing runs tonight", () => {
    const midnightMs = nowMs + 12 * hourMs;
    const estimate = estimateOf({ netG: 9000 });
    const forecast = forecastBrim({
      nowMs: midnightMs,
      source: "gate",
      estimate,
      setup,
      past: unheardAir(runDays),
    });
    expect(overBefore(forecast, midnightMs + 10 * hourMs)).toBeLessThan(0.05);
    expect(overBefore(forecast, midnightMs + 18 * hourMs)).toBeGreaterThan(0.9);
  });

  it("widens with an uncertain flow", () => {
    const sure = forecastOf({ netG: 8000, flowGPerH: 300 }, quietDays);
    const unsure = { netG: 8000, flowGPerH: 300, lowGPerH: 0, highGPerH: 900 };
    expect(overBefore(forecastOf(unsure, quietDays), nowMs + 20 * hourMs)).toBeGreaterThan(
      overBefore(sure, nowMs + 20 * hourMs) + 0.02,
    );
  });

  it("borrows the yard's days by strength while its own are too few", () => {
    const own = historyOf(1, daytimeRun(150));
    const yard = [unheardAir(historyOf(10, daytimeRun(300)))];
    const borrowedL = inflowLOf({ past: unheardAir(own), yard });
    const dayL = (borrowedL.p50[23] ?? 0) * 1.0079;
    // Seven hours of 150 g/h, half of the yard's 300, less what the quiet now takes away.
    expect(dayL).toBeGreaterThan(0.6);
    expect(dayL).toBeLessThan(1.2);
  });

  it("spreads wide without any past", () => {
    const inflowL = inflowLOf({ past: unheardAir(startHistory()) });
    expect(inflowL.p10[23]).toBeLessThan(0.6);
    expect(inflowL.p90[23]).toBeGreaterThan(3.5);
  });

  it("gives the probability of a span as a difference, 0 beyond its end", () => {
    const forecast = forecastOf({ netG: 8500, flowGPerH: 300 });
    const [a, b] = [nowMs + 2 * hourMs, nowMs + 7 * hourMs];
    const whole = overBefore(forecast, b) - overBefore(forecast, a);
    expect(probabilityBetween(forecast, a, b)).toBeCloseTo(whole, 12);
    expect(probabilityBetween(forecast, nowMs + 40 * hourMs, nowMs + 50 * hourMs)).toBe(0);
    expect(probabilityBetween(forecast, b, a)).toBe(0);
  });

  it("leaves its arguments as they were and repeats itself", () => {
    const before = structuredClone(runDays);
    const first = forecastOf({ netG: 8500, flowGPerH: 300 });
    expect(forecastOf({ netG: 8500, flowGPerH: 300 })).toEqual(first);
    expect(runDays).toEqual(before);
  });
});
