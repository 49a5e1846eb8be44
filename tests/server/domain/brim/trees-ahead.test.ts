// The brim forecast beside a thermometer: its limits, its honesty about itself, and its weather.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { startAirPast } from "../../../../server/domain/brim/air-past.ts";
import { airPathsAhead } from "../../../../server/domain/brim/air-paths.ts";
import { forecastBrim, inflowAhead } from "../../../../server/domain/brim/forecast.ts";
import { normalBelow } from "../../../../server/domain/brim/normal.ts";
import { type AirScale, asSupposed } from "../../../../server/domain/brim/outlook-errors.ts";
import { createDraws } from "../../../../server/domain/brim/random.ts";
import type { AirPoint } from "../../../../server/domain/keeping/air-ahead.ts";
import { crpsOf } from "../../../bench/accuracy/forecast-score.ts";
import { estimateOf, hourMs, livedTree, nowMs, setup } from "./fixtures.ts";

const past = livedTree(5);
const outlookOf = (airAt: (leadH: number) => number): AirPoint[] =>
  Array.from({ length: 50 }, (_, index) => ({
    atMs: nowMs + (index - 1) * hourMs,
    airC: airAt(index - 1),
  }));
const wave = (leadH: number) => 1 + 5 * Math.cos(((leadH - 2) / 12) * Math.PI);
const outlook = outlookOf(wave);

function forecast(estimate = estimateOf(), changes: { capacityG?: number } = {}) {
  return forecastBrim({
    nowMs,
    source: "gate",
    estimate,
    setup: { ...setup, ...changes },
    past,
    outlook,
  });
}

describe("brim forecast beside a thermometer", () => {
  it("is the same for the same tree and time, another for another tree", () => {
    const input = { nowMs, estimate: estimateOf({ netG: 7500 }), setup, past, outlook };
    const first = forecastBrim({ ...input, source: "gate" });
    expect(forecastBrim({ ...input, source: "gate" })).toEqual(first);
    expect(forecastBrim({ ...input, source: "hollow" })).not.toEqual(first);
  });

  it("never falls with time nor with the mass that is in already", () => {
    const anyG = fc.double({ min: 0, max: 10_500, noNaN: true });
    fc.assert(
      fc.property(anyG, anyG, (one, other) => {
        const less = forecast(estimateOf({ netG: Math.min(one, other) })).overBy;
        const more = forecast(estimateOf({ netG: Math.max(one, other) })).overBy;
        less.forEach((over, step) => {
          expect(over).toBeGreaterThanOrEqual(less[step - 1] ?? 0);
          expect(more[step]).toBeGreaterThanOrEqual(over);
        });
      }),
      { numRuns: 15 },
    );
  });

  it("is nothing for a bucket without end and certain at the rim", () => {
    expect(forecast(estimateOf(), { capacityG: 1e9 }).overBy.every((over) => over === 0)).toBe(
      true,
    );
    const atRim = forecast(estimateOf({ netG: setup.capacityG }));
    expect(atRim.overBy.every((over) => over === 1)).toBe(true);
  });

  it("does not move while all stays frozen for 36 h", () => {
    const cold = outlookOf((leadH) => -15 + 2 * Math.cos((leadH / 12) * Math.PI));
    const memory = { ...past.memory, airC: -13 };
    const estimate = estimateOf({ netG: 9900 });
    const input = { nowMs, source: "gate", estimate, setup, past: { ...past, memory } };
    const { overBy } = forecastBrim({ ...input, outlook: cold });
    expect(overBy[0]).toBe(0);
    // The wood is warm still: what runs while it cools is a trickle.
    expect(overBy.at(-1)! - overBy[8]!).toBeLessThan(0.02);
  });

  it("ranks a truth drawn from itself evenly (Kolmogorov-Smirnov, p > 0.01)", () => {
    const count = 300;
    const draws = createDraws(11);
    const unlearnt = livedTree(0.02);
    const ranks = Array.from({ length: count }, (_, issue) => {
      const input = { nowMs, estimate: estimateOf(), setup, past: unlearnt, outlook };
      const told = inflowAhead({ ...input, source: `told ${issue}` });
      const worlds = inflowAhead({ ...input, source: `true ${issue}` });
      const came = worlds[Math.floor(draws.uniform() * worlds.length)]![96]!;
      return told.filter((member) => member[96]! < came).length / told.length;
    }).sort((a, b) => a - b);
    const distance = Math.max(
      ...ranks.map((rank, index) => Math.max((index + 1) / count - rank, rank - index / count)),
    );
    // 1 % point of the Kolmogorov distribution: 1.628 / sqrt(n).
    expect(distance).toBeLessThan(1.628 / Math.sqrt(count));
  }, 60_000);
});

describe("air ahead", () => {
  const count = 4000;
  const pathsWith = (airScale: AirScale) =>
    airPathsAhead({
      fromMs: nowMs,
      airC: wave(0) + 3,
      past: startAirPast(),
      noonHour: 17,
      outlook,
      airScale,
      steps: 144,
      stepMs: hourMs / 4,
      count,
      draws: createDraws(4),
    });
  const paths = pathsWith(asSupposed);
  const at = (leadH: number, among = paths) => among.map((path) => path[leadH * 4 - 1]!);
  const meanOf = (values: number[]) =>
    values.reduce((sum, value) => sum + value, 0) / values.length;
  const sdOf = (values: number[]) => {
    const mean = meanOf(values);
    return Math.sqrt(meanOf(values.map((value) => (value - mean) ** 2)));
  };

  it.each([1, 6, 12, 24, 36])("errs at %i h by the spread that outlooks are given", (leadH) => {
    const middleH = leadH - 0.125;
    const wander = (0.6 + 0.025 * middleH) * (1 - Math.exp(-middleH / 5));
    expect(Math.abs(sdOf(at(leadH)) / Math.hypot(wander, 0.03 * middleH) - 1)).toBeLessThan(0.06);
  });

  it("errs as much more as outlooks were found to", () => {
    const twice = pathsWith([1, 1, 1, 2, 2, 2]);
    for (const [leadH, times] of [
      [6, 1],
      [24, 2],
      [36, 2],
    ] as const) {
      expect(sdOf(at(leadH, twice)) / sdOf(at(leadH))).toBeCloseTo(times, 1);
    }
  });

  it("begins at the air of now and returns to the outlook within hours", () => {
    const offC = (leadH: number) => meanOf(at(leadH)) - wave(leadH - 0.125);
    expect(offC(1)).toBeCloseTo(3 * Math.exp(-0.875 / 5), 0);
    expect(Math.abs(offC(24))).toBeLessThan(0.15);
  });
});

describe("continuous ranked probability score", () => {
  it("agrees with the closed form for the normal distribution (Gneiting and Raftery 2007)", () => {
    const n = 4000;
    const quantile = (share: number) => {
      let low = -9;
      let high = 9;
      for (let turn = 0; turn < 60; turn += 1) {
        const middle = (low + high) / 2;
        if (normalBelow(middle) < share) low = middle;
        else high = middle;
      }
      return low;
    };
    const sorted = Array.from({ length: n }, (_, index) => 2 * quantile((index + 0.5) / n));
    for (const came of [-3, 0, 1.4]) {
      const z = came / 2;
      const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
      const exact = 2 * (z * (2 * normalBelow(z) - 1) + 2 * density - 1 / Math.sqrt(Math.PI));
      expect(crpsOf(sorted, came)).toBeCloseTo(exact, 3);
    }
  });
});
