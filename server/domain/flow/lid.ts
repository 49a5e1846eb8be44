// Snow that lies on a bucket's lid, as far as its own weights tell.
import { msPerHour } from "../../../shared/units.ts";
import type { FlowEstimate, FlowEvent } from "../bucket.ts";

/** JSON-safe. */
export type Lid = { snowG: number; atMs: number | null };

type Seen = {
  estimate: FlowEstimate;
  events: readonly FlowEvent[];
  airC: number | undefined;
  /** What settled in frost since the last estimate. */
  settledG: number;
};

/** A lid of 0.07 m2 at 4.5 mm of water a degree and day (degree-day factor of snow, 1.6-6: common practice, no source). */
const meltGPerKH = 13;
const longestStepMs = msPerHour;
const spokenOfG = 40; // less may be the drift of a cell over a cold night

export function startLid(): Lid {
  return { snowG: 0, atMs: null };
}

/**
 * The lid after one more estimate, and how much of what the bucket lost or won since went off the lid: snow settles in
 * frost, melts above freezing, and goes with whoever handles the bucket. What a cell drifted by in the cold comes
 * back likewise, so that it may be less than nothing.
 */
export function lidAfter(lid: Lid, seen: Seen): { lid: Lid; meltedG: number } {
  const { estimate, events, airC, settledG } = seen;
  const { atMs } = estimate;
  const isHandled = events.some(({ kind }) => kind !== "spike" && kind !== "leaned-on");
  if (isHandled) return { lid: { snowG: 0, atMs }, meltedG: 0 };
  const elapsedMs = Math.min(longestStepMs, atMs - (lid.atMs ?? atMs));
  const mostG = (Math.max(0, airC ?? 0) * meltGPerKH * elapsedMs) / msPerHour;
  const meltedG = Math.sign(lid.snowG) * Math.min(Math.abs(lid.snowG), mostG);
  return { lid: { snowG: lid.snowG + settledG - meltedG, atMs }, meltedG };
}

/** Snow on the lid worth speaking of, in g; 0 for none. */
export function snowOnLidG({ snowG }: Lid): number {
  return snowG > spokenOfG ? snowG : 0;
}
