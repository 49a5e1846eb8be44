// Which days freeze and thaw (freeze 0 C or below, thaw 1.7 C or more: Michigan State University Extension).
import { describe, expect, it } from "vitest";
import { comingDays } from "../../../../server/domain/tapping/coming-days.ts";
import { whenToTap } from "../../../../server/domain/tapping/when-to-tap.ts";
import { msPerHour } from "../../../../shared/units.ts";
import { daysOf, outlookOf, startMs, timeZone } from "./fixtures.ts";

const now = { nowMs: startMs + 2 * msPerHour, timeZone };

describe("a day runs when it freezes at night and thaws by day", () => {
  it.each([
    [-6, 6, true],
    [-1, 2, true],
    [0.5, 8, false],
    [-8, 1.5, false],
    [-12, -3, false],
  ])("%d to %d: %s", (lowC, highC, runs) => {
    const days = comingDays(outlookOf(daysOf(3, lowC, highC)), now);
    expect(days[1]).toMatchObject({ dayKey: "2026-03-02", runs });
    expect(days[1]?.lowC).toBeCloseTo(lowC, 1);
    expect(days[1]?.highC).toBeCloseTo(highC, 1);
  });
});

it("a day that the outlook doesn’t reach isn’t judged", () => {
  const outlook = outlookOf(daysOf(2, -6, 6)).slice(0, 24 + 9);
  const days = comingDays(outlook, now);
  expect(days.map(({ dayKey, runs }) => [dayKey, runs])).toEqual([
    ["2026-03-01", true],
    ["2026-03-02", null],
  ]);
  expect(days[1]?.highC).toBeNull();
});

it("an outlook in steps of six hours does, one with a hole of a night doesn’t", () => {
  const hourly = outlookOf(daysOf(3, -6, 6));
  const coarse = hourly.filter((_, hour) => hour % 6 === 3);
  expect(comingDays(coarse, now)[1]?.runs).toBe(true);
  const holed = hourly.filter((_, hour) => hour < 16 || hour > 33);
  expect(comingDays(holed, now)[1]?.lowC).toBeNull();
});

it("days keep to the wall clock when clocks go forward", () => {
  // Clocks go forward in Toronto on 8 March 2026.
  const days = comingDays(outlookOf(daysOf(10, -6, 6)), now);
  expect(days.map(({ dayKey }) => dayKey.slice(-2))).toEqual([
    "01",
    "02",
    "03",
    "04",
    "05",
    "06",
    "07",
    "08",
    "09",
    "10",
  ]);
  const change = days[7];
  expect((change?.toMs ?? 0) - (change?.fromMs ?? 0)).toBe(23 * msPerHour);
});

it("nothing is said without an outlook", () => {
  expect(comingDays([], now)).toEqual([]);
  expect(whenToTap([])).toEqual({ word: "unknown" });
});

describe("when to tap", () => {
  const advised = (days: { lowC: number; highC: number }[]) =>
    whenToTap(comingDays(outlookOf(days), now));

  it("several runs ahead: before the first of them", () => {
    const days = [...daysOf(3, -12, -4), ...daysOf(4, -5, 6)];
    expect(advised(days)).toEqual({ word: "tap", byDayKey: "2026-03-04", runDays: 4, ofDays: 7 });
  });

  it("one run in a frozen fortnight may wait: the hole has only weeks", () => {
    const days = [...daysOf(3, -12, -4), ...daysOf(1, -5, 6), ...daysOf(8, -12, -4)];
    expect(advised(days)).toMatchObject({ word: "may-wait", byDayKey: "2026-03-04", runDays: 1 });
  });

  it.each([
    [-12, -4, "stays frozen"],
    [3, 12, "stays warm"],
  ])("air from %d to %d: wait, it %s", (lowC, highC, why) => {
    expect(advised(daysOf(6, lowC, highC))).toEqual({ word: "wait", why, ofDays: 6 });
  });
});
