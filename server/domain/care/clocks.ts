// Tells from the times in a board's packs how far its clock and the server's differ.
import { msPerMinute } from "../../../shared/units.ts";

/** How far the newest time in a pack lay ahead of the server's clock when it came; negative: behind. */
export type PackTime = { atMs: number; aheadMs: number };

/** What packs of a while ago said no longer counts. */
export const packTimesMs = 10 * msPerMinute;
/** One that was wrong may have been set right since. */
const latelyMs = 1.5 * msPerMinute;
const fewest = 5;
const leastSpanMs = 4 * msPerMinute;
/** A backlog that is being sent comes closer to the present all the time; a wrong clock stays. */
const steadyMs = 2 * msPerMinute;

/**
 * How far a board's clock is ahead of the server's, in ms; negative: behind; null when its packs
 * don't tell. No reading is from the future, so that one ahead is enough, or one of nearly now; behind
 * may be a backlog, and needs some minutes in which it stays the same.
 */
export function clockAheadMs(times: readonly PackTime[], nowMs: number): number | null {
  const recent = times.filter(({ atMs }) => nowMs - atMs <= packTimesMs && atMs <= nowMs);
  if (recent.length === 0) return null;
  const aheads = recent.map(({ aheadMs }) => aheadMs);
  const lastMs = Math.max(...recent.map(timeOf));
  const lately = recent.filter(({ atMs }) => lastMs - atMs <= latelyMs);
  const latest = Math.max(...lately.map(({ aheadMs }) => aheadMs));
  if (latest >= -steadyMs) return latest;
  const most = Math.max(...aheads);
  const spanMs = lastMs - Math.min(...recent.map(timeOf));
  const isSteady = most - Math.min(...aheads) <= steadyMs;
  return recent.length >= fewest && spanMs >= leastSpanMs && isSteady ? most : null;
}

function timeOf({ atMs }: PackTime): number {
  return atMs;
}
