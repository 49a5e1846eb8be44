// The one word for how a bucket is: the first that holds, in the order of the wire's list.
import { msPerMinute } from "../../shared/units.ts";
import type { BucketState } from "../../shared/wire/api.ts";
import type { BucketSetup, FlowEstimate } from "./bucket.ts";

export type BucketCircumstances = {
  nowMs: number;
  parked: boolean;
  /** Time of the last reading; null when it was never heard. */
  lastReadingMs: number | null;
  /** Since when it hangs on its present cell. */
  onCellSinceMs: number;
  /** Usual time between its readings. */
  expectedIntervalMs: number;
  /** What the board says is wrong with the cell now, null when nothing. */
  fault: string | null;
  /** Null while too few readings have come to say anything. */
  estimate: FlowEstimate | null;
  setup: BucketSetup;
  /** 0-1, null when keeping is unknown. */
  iceFraction: number | null;
  airC: number | null;
};

const leastSilenceMs = 10 * msPerMinute;
const intervalsMissed = 3;
const runningGPerH = 12;
const frozenIceFraction = 0.35;
const wellBelowFreezingC = -4;

export function bucketState(bucket: BucketCircumstances): BucketState {
  if (bucket.parked) {
    return "parked";
  }
  if (bucket.lastReadingMs === null) {
    return "unheard";
  }
  const { lastReadingMs, onCellSinceMs } = bucket;
  if (isSilent({ ...bucket, lastReadingMs: Math.max(lastReadingMs, onCellSinceMs) })) {
    return "silent";
  }
  if (isSilent({ ...bucket, lastReadingMs })) {
    return "unheard";
  }
  const { estimate } = bucket;
  if (bucket.fault !== null || estimate?.doubt !== undefined) {
    return "doubtful";
  }
  return estimate === null ? "unheard" : weighedState(bucket, estimate);
}

/** True when more than three usual intervals, and at least ten minutes, have passed unheard. */
export function isSilent(heard: {
  nowMs: number;
  lastReadingMs: number;
  expectedIntervalMs: number;
}): boolean {
  const silenceMs = heard.nowMs - heard.lastReadingMs;
  return silenceMs > Math.max(leastSilenceMs, intervalsMissed * heard.expectedIntervalMs);
}

function weighedState(bucket: BucketCircumstances, estimate: FlowEstimate): BucketState {
  if (estimate.away) {
    return "away";
  }
  if (estimate.full || estimate.netG >= bucket.setup.capacityG) {
    return "brimful";
  }
  if (isFrozen(bucket)) {
    return "frozen";
  }
  return estimate.lowGPerH > runningGPerH ? "running" : "resting";
}

/** Much ice, or some in hard frost. */
function isFrozen({ iceFraction, airC }: BucketCircumstances): boolean {
  const ice = iceFraction ?? 0;
  return ice > frozenIceFraction || (ice > 0 && airC !== null && airC < wellBelowFreezingC);
}
