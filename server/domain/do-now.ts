// What to do in the yard now and by when, most urgent first: the parts behind the one sentence.
import { gFromVolumeL, volumeLFromG } from "../../shared/sap/density.ts";
import { leastToBoilG } from "../../shared/sap/least.ts";
import { msPerHour } from "../../shared/units.ts";
import type { BucketState, DoNowPart, Keeping } from "../../shared/wire/api.ts";
import type { BrimDecision } from "./brim/decide.ts";
import type { Visits } from "./brim/visits.ts";

export type BucketSummary = {
  id: string;
  state: BucketState;
  /** Sap in it; null when unknown. */
  netG: number | null;
  decision: BrimDecision | null;
  /** A warning that it may brim over is open: it is held through small doubts, and so is what to do. */
  warned: boolean;
  keeping: Keeping | null;
  /** Why it is doubtful, in plain words. */
  doubt: string | null;
};

export type VesselSummary = {
  id: string;
  volumeL: number;
  parked: boolean;
  keeping: Keeping | null;
};

export type DoNowInput = {
  buckets: readonly BucketSummary[];
  vessels?: readonly VesselSummary[];
  /** Cells that are heard and that no bucket hangs on. */
  newCells: readonly string[];
  nowMs: number;
  visits: Visits;
};

/** Less is more urgent: 0 and 1 what fills, 2 and 3 what spoils, then what wants a look or setting up. */
type Urgency = { part: DoNowPart; rank: number };
const leastPressingRank = 3;

/** Sap that spoils later than this is no work for now. */
const boilAheadMs = 48 * msPerHour;
/** Emptying a bucket with next to nothing in it does not keep it from going over. */
const fillsBetween =
  "next to nothing to pour yet, but likely to fill between two visits: come in between";
const tooLong = "may have stood too long: smell before boiling";
const beyondJudging: ReadonlySet<BucketState> = new Set(["parked", "doubtful", "away"]);

/** The parts of doNow, most urgent first; never empty: with nothing to do it says why to wait. */
export function doNow(input: DoNowInput): DoNowPart[] {
  const work = [
    ...gatherParts(input),
    ...boilParts(input),
    ...vesselParts(input),
    ...lookParts(input.buckets),
    ...setUpParts(input.newCells),
  ];
  const parts = work.sort(byRankThenTime).map(({ part }) => part);
  const pressing = work.some(({ rank }) => rank <= leastPressingRank);
  const mayWait = !pressing && canWait(input.buckets);
  return mayWait || parts.length === 0 ? [...parts, waitPart(input)] : parts;
}

/** Of equal rank, what is due earlier comes first. */
function byRankThenTime(a: Urgency, b: Urgency): number {
  if (a.rank !== b.rank) return a.rank - b.rank;
  return (a.part.byMs ?? Number.MAX_VALUE) - (b.part.byMs ?? Number.MAX_VALUE);
}

function gatherParts({ buckets, nowMs, visits }: DoNowInput): Urgency[] {
  const due = buckets.filter(
    ({ state, decision, warned }) =>
      state === "brimful" || ((warned || decision?.warn === true) && !beyondJudging.has(state)),
  );
  const isNow = ({ state, decision }: BucketSummary) =>
    state === "brimful" || decision?.urgent === true;
  const now = due.filter(isNow);
  const waiting = due.filter((bucket) => !isNow(bucket));
  const comeAgain = waiting.filter((bucket) => pourableG(bucket) < leastToBoilG);
  const later = waiting.filter((bucket) => pourableG(bucket) >= leastToBoilG);
  const early = (bucket: BucketSummary) => bucket.decision?.brim.t10Ms ?? visits.afterMs;
  // What may brim over at night is work for before the night.
  const latestMs = visits.overnight ? visits.nextMs : visits.afterMs;
  return [
    ...gatherPart(now, { rank: 0, byMs: nowMs, reason: "at the rim or about to be" }),
    ...gatherPart(later, {
      rank: 1,
      byMs: Math.max(nowMs, Math.min(latestMs, ...later.map(early))),
      reason: visits.overnight
        ? "may brim over before the morning's visit"
        : "may brim over before the visit after next",
    }),
    ...lookPart(comeAgain, { rank: 1, reason: fillsBetween }),
  ];
}

/** What is no ice; sap whose ice is unknown counts as liquid. */
function pourableG({ netG, keeping }: BucketSummary): number {
  return Math.max(0, netG ?? 0) * (1 - (keeping?.iceFraction ?? 0));
}

function gatherPart(
  buckets: readonly BucketSummary[],
  { rank, byMs, reason }: { rank: number; byMs: number; reason: string },
): Urgency[] {
  if (buckets.length === 0) {
    return [];
  }
  const volumeL = buckets.reduce((sum, { netG }) => sum + volumeLFromG(Math.max(0, netG ?? 0)), 0);
  const bucketIds = buckets.map(({ id }) => id);
  return [{ rank, part: { verb: "gather", bucketIds, byMs, volumeL, reason } }];
}

function boilParts({ buckets, nowMs }: DoNowInput): Urgency[] {
  const due = buckets
    .filter(({ netG }) => (netG ?? 0) >= leastToBoilG)
    .map((bucket) => ({ bucket, byMs: bucket.keeping?.boilByMs ?? Number.POSITIVE_INFINITY }))
    .filter(({ byMs }) => byMs <= nowMs + boilAheadMs);
  const past = due.filter(({ byMs }) => byMs <= nowMs);
  const ahead = due.filter(({ byMs }) => byMs > nowMs);
  return [
    ...boilPart(past, { rank: 2, reason: tooLong }),
    ...boilPart(ahead, { rank: 3, reason: "warm sap does not keep" }),
  ];
}

function boilPart(
  due: readonly { bucket: BucketSummary; byMs: number }[],
  { rank, reason }: { rank: number; reason: string },
): Urgency[] {
  if (due.length === 0) {
    return [];
  }
  const volumeL = due.reduce((sum, { bucket }) => sum + volumeLFromG(bucket.netG ?? 0), 0);
  const byMs = Math.min(...due.map((one) => one.byMs));
  const bucketIds = due.map(({ bucket }) => bucket.id);
  return [{ rank, part: { verb: "boil", bucketIds, byMs, volumeL, reason } }];
}

/** What was gathered and waits in vessels: all that is due, in one part. */
function vesselParts({ vessels = [], nowMs }: DoNowInput): Urgency[] {
  const due = vessels
    .filter(({ volumeL, parked }) => !parked && gFromVolumeL(volumeL) >= leastToBoilG)
    .map((vessel) => ({ vessel, byMs: vessel.keeping?.boilByMs ?? Number.POSITIVE_INFINITY }))
    .filter(({ byMs }) => byMs <= nowMs + boilAheadMs)
    .sort((a, b) => a.byMs - b.byMs);
  const [first] = due;
  if (first === undefined) {
    return [];
  }
  const isPast = first.byMs <= nowMs;
  const part: DoNowPart = {
    verb: "boil",
    bucketIds: [],
    vesselIds: due.map(({ vessel }) => vessel.id),
    byMs: first.byMs,
    volumeL: due.reduce((sum, { vessel }) => sum + vessel.volumeL, 0),
    reason: isPast ? tooLong : "first in, first out: gathered sap does not keep when warm",
  };
  return [{ rank: isPast ? 2 : 3, part }];
}

function lookParts(buckets: readonly BucketSummary[]): Urgency[] {
  const silent = buckets.filter(({ state }) => state === "silent");
  const doubtful = buckets.filter(({ state }) => state === "doubtful");
  const reasonOf = ({ doubt }: BucketSummary) => doubt ?? "its readings make no sense";
  const reasons = [...new Set(doubtful.map(reasonOf))];
  return [
    ...lookPart(silent, { rank: 4, reason: "no readings come any more" }),
    ...reasons.flatMap((reason) => {
      const alike = doubtful.filter((bucket) => reasonOf(bucket) === reason);
      return lookPart(alike, { rank: 4, reason });
    }),
  ];
}

function lookPart(
  buckets: readonly BucketSummary[],
  { rank, reason }: { rank: number; reason: string },
): Urgency[] {
  if (buckets.length === 0) return [];
  const bucketIds = buckets.map(({ id }) => id);
  return [{ rank, part: { verb: "look", bucketIds, byMs: null, volumeL: null, reason } }];
}

function setUpParts(cells: readonly string[]): Urgency[] {
  const [first] = cells;
  if (first === undefined) {
    return [];
  }
  const reason =
    cells.length === 1
      ? `${first} is weighing something and carries no bucket yet`
      : `${first} and ${cells.length - 1} more carry no bucket yet`;
  return [{ rank: 5, part: { verb: "set-up", bucketIds: [], byMs: null, volumeL: null, reason } }];
}

/** Only buckets that are heard can tell that waiting is right. */
function canWait(buckets: readonly BucketSummary[]): boolean {
  return buckets.some(({ decision, state }) => decision !== null && state !== "parked");
}

function waitPart({ buckets, vessels = [], nowMs }: DoNowInput): DoNowPart {
  const inUse = buckets.filter(({ state }) => state !== "parked");
  const wait = { verb: "wait" as const, bucketIds: [], volumeL: null };
  if (inUse.length === 0) {
    return { ...wait, byMs: null, reason: "no bucket is hung yet" };
  }
  if (!canWait(inUse)) {
    return { ...wait, byMs: null, reason: "no bucket has been heard yet" };
  }
  const brims = inUse.map(({ decision }) => decision?.brim.t10Ms ?? Number.POSITIVE_INFINITY);
  const standing = [
    ...inUse.filter(({ netG }) => (netG ?? 0) >= leastToBoilG),
    ...vessels.filter(({ parked, volumeL }) => !parked && gFromVolumeL(volumeL) >= leastToBoilG),
  ];
  const boils = standing.map(({ keeping }) => keeping?.boilByMs ?? Number.POSITIVE_INFINITY);
  const brimMs = Math.min(...brims);
  const boilMs = Math.min(...boils);
  const soonest = Math.min(brimMs, boilMs);
  if (soonest === Number.POSITIVE_INFINITY) {
    return { ...wait, byMs: null, reason: "no bucket is likely to brim over in the next 36 h" };
  }
  const reason =
    brimMs <= boilMs ? "no bucket is likely to brim over earlier" : "the sap keeps so long";
  return { ...wait, byMs: Math.max(nowMs, soonest), reason };
}
