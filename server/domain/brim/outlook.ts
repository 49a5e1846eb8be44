// Whether an outlook on the air can be believed: one that can't is left aside and said so, never used in silence.
import { msPerHour } from "../../../shared/units.ts";
import type { OutlookState } from "../../../shared/wire/outlook.ts";
import type { AirPoint } from "../keeping/air-ahead.ts";

/** An outlook has to reach so far ahead, with no hole wider than the gap. */
const leastAheadMs = 24 * msPerHour;
const longestGapMs = 6 * msPerHour;
const mostC = 60;
/** Air that stays within this for a day is a stuck program, not weather. */
const leastSwingC = 0.05;
/** An outlook further off than this from the air of now is of another place or day. */
const mostNowErrorC = 12;

/** Judges points in order of time against the air of now, null when nobody measures it. */
export function outlookState(
  points: readonly AirPoint[],
  now: { atMs: number; airC: number | null },
): OutlookState {
  const untilMs = now.atMs + leastAheadMs;
  const ahead = points.filter(({ atMs }) => atMs > now.atMs - longestGapMs);
  if (points.length === 0) return "none";
  if (ahead.some(({ airC }) => !(Math.abs(airC) <= mostC))) return "impossible";
  const last = ahead.at(-1);
  if (last === undefined || last.atMs < untilMs) return "ended";
  const airNowC = airWithin(ahead, now.atMs);
  if (airNowC === null || hasGap(ahead, { fromMs: now.atMs, untilMs })) return "gaps";
  const day = ahead.filter(({ atMs }) => atMs <= untilMs).map(({ airC }) => airC);
  if (Math.max(...day) - Math.min(...day) < leastSwingC) return "one-value";
  const isElsewhere = now.airC !== null && Math.abs(airNowC - now.airC) > mostNowErrorC;
  return isElsewhere ? "elsewhere" : "used";
}

function hasGap(points: readonly AirPoint[], span: { fromMs: number; untilMs: number }): boolean {
  return points.some((point, index) => {
    const next = points[index + 1];
    if (next === undefined || next.atMs <= span.fromMs || point.atMs >= span.untilMs) return false;
    return next.atMs - point.atMs > longestGapMs;
  });
}

/** The outlook's air at an instant, null outside it. */
export function airWithin(points: readonly AirPoint[], atMs: number): number | null {
  const index = points.findIndex((point) => point.atMs > atMs);
  const before = points[index - 1];
  const after = points[index];
  if (before === undefined || after === undefined) {
    const last = points.at(-1);
    return last?.atMs === atMs ? last.airC : null;
  }
  return (
    before.airC + ((after.airC - before.airC) * (atMs - before.atMs)) / (after.atMs - before.atMs)
  );
}
