// Which outlooks are believed, and that the others change nothing but what is said of them.
import { describe, expect, it } from "vitest";
import { forecastBrim, inflowAhead } from "../../../../server/domain/brim/forecast.ts";
import { airWithin, outlookState } from "../../../../server/domain/brim/outlook.ts";
import type { AirPoint } from "../../../../server/domain/keeping/air-ahead.ts";
import { estimateOf, hourMs, livedTree, nowMs, setup } from "./fixtures.ts";

/** Hour by hour from `fromH` to `untilH` as seen from now, warm by day. */
function outlookOf(airAt: (leadH: number) => number, fromH = -1, untilH = 48): AirPoint[] {
  return Array.from({ length: untilH - fromH + 1 }, (_, index) => {
    const leadH = fromH + index;
    return { atMs: nowMs + leadH * hourMs, airC: airAt(leadH) };
  });
}

const wave = (leadH: number) => 2 + 5 * Math.cos((leadH / 12) * Math.PI);
const sound = outlookOf(wave);
const now = { atMs: nowMs, airC: 6 };

const broken: [string, AirPoint[]][] = [
  ["none", []],
  ["ended", outlookOf(wave, -60, -10)],
  ["ended", outlookOf(wave, -1, 23)],
  ["gaps", sound.filter(({ atMs }) => atMs < nowMs + 4 * hourMs || atMs > nowMs + 12 * hourMs)],
  ["gaps", outlookOf(wave, 2)],
  ["impossible", outlookOf((leadH) => (leadH === 9 ? 80 : wave(leadH)))],
  ["impossible", outlookOf((leadH) => (leadH === 9 ? Number.NaN : wave(leadH)))],
  ["one-value", outlookOf(() => 4)],
  ["elsewhere", outlookOf((leadH) => wave(leadH) + 13)],
];

describe("outlook on the air", () => {
  it("is used when it reaches a day ahead, whole and likely", () => {
    expect(outlookState(sound, now)).toBe("used");
    expect(outlookState(sound, { atMs: nowMs, airC: null })).toBe("used");
    expect(outlookState(outlookOf(wave, -1, 24), now)).toBe("used");
  });

  it.each(broken)("is not used: %s", (state, outlook) => {
    expect(outlookState(outlook, now)).toBe(state);
  });

  it.each(broken)("leaves the forecast as without one: %s", (_, outlook) => {
    const input = { nowMs, source: "gate", estimate: estimateOf({ netG: 6000 }), setup };
    const past = livedTree(6);
    const without = forecastBrim({ ...input, past });
    expect(forecastBrim({ ...input, past, outlook })).toEqual(without);
    expect(forecastBrim({ ...input, past, outlook: outlookOf(wave) })).not.toEqual(without);
  });

  it("runs on straight lines between its hours", () => {
    const points = [
      { atMs: nowMs, airC: 1 },
      { atMs: nowMs + hourMs, airC: 3 },
    ];
    expect(airWithin(points, nowMs + hourMs / 4)).toBe(1.5);
    expect(airWithin(points, nowMs + hourMs)).toBe(3);
    expect(airWithin(points, nowMs - 1)).toBeNull();
    expect(airWithin(points, nowMs + hourMs + 1)).toBeNull();
  });

  it("makes warm days run and frozen days rest", () => {
    const input = { nowMs, source: "gate", estimate: estimateOf(), setup, past: livedTree(6) };
    const inflowG = (offC: number) => {
      const past = { ...input.past, memory: { ...input.past.memory, airC: wave(0) + offC } };
      const outlook = outlookOf((leadH) => wave(leadH) + offC);
      const members = inflowAhead({ ...input, past, outlook });
      return members.reduce((sum, member) => sum + member[96]!, 0) / members.length;
    };
    expect(inflowG(-15)).toBeLessThan(0.2 * inflowG(0));
  });
});
