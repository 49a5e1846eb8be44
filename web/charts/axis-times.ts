// Where the axis of time has its marks, and what they say, on the yard's own clock.

import { localParts } from "../../shared/local-time.ts";
import { formatDate } from "../../shared/people/format.ts";
import { msPerDay, msPerHour, msPerMinute } from "../../shared/units.ts";

const steps = [
  ...[5, 10, 15, 30].map((minutes) => minutes * msPerMinute),
  ...[1, 2, 3, 6, 12].map((hours) => hours * msPerHour),
  ...[1, 2, 4, 7, 14, 28, 56].map((days) => days * msPerDay),
];

/** The finest step that leaves each mark its room. */
export function stepFor(lengthMs: number, widthPx: number, roomPx: number): number {
  const leastMs = (lengthMs * roomPx) / Math.max(1, widthPx);
  return steps.find((stepMs) => stepMs >= leastMs) ?? Math.ceil(leastMs / msPerDay) * msPerDay;
}

/** How far the yard's clock is ahead of UTC at an instant. */
function aheadMs(atMs: number, timeZone: string): number {
  const { dayKey, minuteOfDay } = localParts(atMs, timeZone);
  const minuteMs = Math.floor(atMs / msPerMinute) * msPerMinute;
  return Date.parse(`${dayKey}T00:00:00Z`) + minuteOfDay * msPerMinute - minuteMs;
}

/** Marks on whole hours or days of the yard's clock. */
export function splitsOf(
  span: { fromMs: number; toMs: number },
  stepMs: number,
  timeZone: string,
): number[] {
  const startMs = span.fromMs + aheadMs(span.fromMs, timeZone);
  const splits: number[] = [];
  for (let local = Math.ceil(startMs / stepMs) * stepMs; ; local += stepMs) {
    const guessMs = local - aheadMs(span.fromMs, timeZone);
    const atMs = local - aheadMs(guessMs, timeZone);
    if (atMs > span.toMs) return splits;
    splits.push(atMs);
  }
}

/** The hour within days, the date at midnight and on longer spans. */
export function axisTimes(splits: readonly number[], timeZone: string): string[] {
  const stepMs = (splits[1] ?? 0) - (splits[0] ?? 0);
  return splits.map((atMs) => {
    const { hour, minute } = localParts(atMs, timeZone);
    if (stepMs >= 0.9 * msPerDay || (hour === 0 && minute === 0)) return formatDate(atMs, timeZone);
    return `${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}`;
  });
}

/** "−2 h", "thaw", "+4 h": time before and after a thaw. */
export function axisHours(splits: readonly number[]): string[] {
  return splits.map((sinceMs) => {
    const hours = Math.round((sinceMs / msPerHour) * 10) / 10;
    if (hours === 0) return "thaw";
    return `${hours < 0 ? "−" : "+"}${Math.abs(hours)} h`;
  });
}
