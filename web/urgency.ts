// Which pail needs a person first.

import { msPerHour } from "../shared/units.ts";
import type { AlarmKind, BucketState, BucketView } from "../shared/wire/api.ts";

const alarmRank: Partial<Record<AlarmKind, number>> = {
  brimful: 0,
  sour: 1,
  brim: 2,
  boil: 3,
  frozen: 4,
  doubtful: 5,
  silent: 6,
};

const stateRank: Record<BucketState, number> = {
  brimful: 0,
  frozen: 4.5,
  doubtful: 5,
  silent: 6,
  away: 7,
  running: 8,
  resting: 9,
  unheard: 10,
  parked: 11,
};

function rankOf(bucket: BucketView): number {
  const ranks = bucket.alarms.map((kind) => alarmRank[kind] ?? 8);
  return Math.min(stateRank[bucket.state], ...ranks);
}

function dueMs(bucket: BucketView, nowMs: number): number {
  const t50Ms = bucket.brim?.t50Ms ?? null;
  return t50Ms !== null && doesBrimMatter(bucket, nowMs) ? t50Ms : Number.POSITIVE_INFINITY;
}

/** Filling in tenths, so that pails don't change places with every drop. */
function tenths(bucket: BucketView): number {
  return Math.round((bucket.fullFraction ?? 0) * 10);
}

/** Most urgent first; then the one that soon brims, then the fuller; names settle the rest. */
export function byUrgency(buckets: BucketView[], nowMs: number): BucketView[] {
  return [...buckets].sort(
    (a, b) =>
      rankOf(a) - rankOf(b) ||
      compared(dueMs(a, nowMs), dueMs(b, nowMs)) ||
      tenths(b) - tenths(a) ||
      a.label.localeCompare(b.label),
  );
}

function compared(a: number, b: number): number {
  return a === b ? 0 : a - b;
}

/** Whether the brim time is worth a line: an alarm, a real chance, or a likely brim within a day. */
export function doesBrimMatter(bucket: BucketView, nowMs: number): boolean {
  const { brim } = bucket;
  if (brim === null || bucket.state === "brimful" || bucket.state === "parked") return false;
  if (bucket.alarms.includes("brim") || brim.probability >= 0.05) return true;
  return brim.t50Ms !== null && brim.t50Ms - nowMs < 24 * msPerHour;
}
