// Which days ahead freeze at night and thaw by day: the days on which sap is to be expected.
//
// Freeze: 0 C or below at night; thaw: 1.7 C (35 F) or more by day. Michigan State University Extension.
import { localParts, msAtLocalTime } from "../../../shared/local-time.ts";
import { msPerDay, msPerHour } from "../../../shared/units.ts";
import type { AirPoint } from "../keeping/air-ahead.ts";

export const freezeC = 0;
export const thawC = 1.7;

export type ComingDay = {
  /** "2026-03-05". */
  dayKey: string;
  fromMs: number;
  toMs: number;
  /** Of the night before, 15 h to 10 h; null where the outlook doesn't reach. */
  lowC: number | null;
  /** Of the day, 10 h to 20 h. */
  highC: number | null;
  /** Whether it freezes and then thaws; null when one of them isn't known. */
  runs: boolean | null;
};

const mostDays = 16;
/** An outlook in steps of six hours still tells a night. */
const leastCoveredShare = 0.5;
const longestGapMs = 6 * msPerHour;

/** The local days from today on that the outlook reaches, at most 16; points in order of time. */
export function comingDays(
  outlook: readonly AirPoint[],
  { nowMs, timeZone }: { nowMs: number; timeZone: string },
): ComingDay[] {
  const lastMs = outlook.at(-1)?.atMs ?? 0;
  const days: ComingDay[] = [];
  let dayMs = nowMs;
  while (dayMs < lastMs && days.length < mostDays) {
    const day = dayFrom(outlook, dayMs, timeZone);
    if (day.lowC !== null || day.highC !== null) days.push(day);
    dayMs = day.toMs;
  }
  return days;
}

function dayFrom(outlook: readonly AirPoint[], inMs: number, timeZone: string): ComingDay {
  const { dayKey } = localParts(inMs, timeZone);
  const at = (timeOfDay: string, day: string | number = dayKey) =>
    msAtLocalTime(day, timeOfDay, timeZone);
  const fromMs = at("00:00");
  const toMs = at("00:00", at("12:00") + msPerDay);
  const before = fromMs - msPerHour;
  const night = within(outlook, at("15:00", before), at("10:00"));
  const midday = within(outlook, at("10:00"), at("20:00"));
  const lowC = night && Math.min(...night);
  const highC = midday && Math.max(...midday);
  const runs = lowC === null || highC === null ? null : lowC <= freezeC && highC >= thawC;
  return { dayKey, fromMs, toMs, lowC, highC, runs };
}

/** Temperatures of a span; null when less than half of it is covered. */
function within(outlook: readonly AirPoint[], fromMs: number, toMs: number): number[] | null {
  let coveredMs = 0;
  let lastMs: number | undefined;
  const temps: number[] = [];
  for (const { atMs, airC } of outlook) {
    if (lastMs !== undefined && atMs - lastMs <= longestGapMs) {
      coveredMs += Math.max(0, Math.min(atMs, toMs) - Math.max(lastMs, fromMs));
    }
    lastMs = atMs;
    if (atMs >= fromMs && atMs <= toMs) temps.push(airC);
  }
  const isCovered = temps.length > 0 && coveredMs >= leastCoveredShare * (toMs - fromMs);
  return isCovered ? temps : null;
}
