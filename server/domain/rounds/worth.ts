// What it is worth to gather a bucket now rather than at the next visit, told in minutes of a person's work.
import { msPerHour } from "../../../shared/units.ts";
import type { Brim, BucketState, Keeping } from "../../../shared/wire/api.ts";

export type RoundBucket = {
  bucketId: string;
  treeId: string | null;
  state: BucketState;
  hasCell: boolean;
  capacityL: number;
  /** Sap and ice in it; null when no cell tells. */
  volumeL: number | null;
  flowLPerH: number | null;
  brim: Brim | null;
  /** Probability that it goes over before the visit after next. */
  overProbability: number | null;
  /** Home says to empty it before the visit after next: the walk is not weighed against it. */
  due: boolean;
  keeping: Keeping | null;
  /** What is in other buckets on average: the guess where no cell tells. */
  usualL: number;
};

/** `pourL` can be poured now. */
export type Worth = { pourL: number; benefitMin: number; why: string };

/** Minutes that a litre is worth (own estimates): carried home, kept from spoiling, kept from going over. */
const dueMin = 240;
const minutesPerL = { gathered: 0.8, spoilt: 4, lost: 10 };
const leastL = 0.2;
const frozenFast = 0.6;
const mostLostL = 8;
/** That it spoils by then, from how far off its careful boil-by is (own estimates). */
const spoilP = { past: 1, beforeNext: 0.5, within: 0.1, withinMs: 24 * msPerHour };

/** What a bucket is worth, or in words why it is left out of the round. */
export function worthOf(
  bucket: RoundBucket,
  { nowMs, afterMs }: { nowMs: number; afterMs: number },
): Worth | string {
  const outside = whyOutside(bucket);
  if (outside !== null) return outside;
  const ice = bucket.keeping?.iceFraction ?? 0;
  const heldL = bucket.volumeL ?? Math.min(bucket.usualL, bucket.capacityL);
  const pourL = heldL * (1 - ice);
  if (pourL < leastL) return "next to nothing in it";
  const lostL = lostBefore(bucket, { nowMs, afterMs });
  const spoilt = spoiltBefore(bucket.keeping, { nowMs, afterMs });
  const { gathered, spoilt: perSpoiltL, lost } = minutesPerL;
  return {
    pourL,
    benefitMin: pourL * (gathered + perSpoiltL * spoilt) + lost * lostL + (bucket.due ? dueMin : 0),
    why: whyNow(bucket, { lostL, spoilt }),
  };
}

function whyOutside({ state, hasCell, keeping, volumeL }: RoundBucket): string | null {
  if (state === "parked") return "parked";
  if (state === "away") return "off its cell now";
  if (state === "doubtful") return "its readings make no sense: look at it";
  if ((keeping?.iceFraction ?? 0) >= frozenFast) {
    return "frozen: knock the ice out, or let it thaw";
  }
  return hasCell && volumeL === null ? "not heard yet" : null;
}

function lostBefore(
  { state, brim, overProbability, flowLPerH }: RoundBucket,
  { nowMs, afterMs }: { nowMs: number; afterMs: number },
): number {
  const isAtRim = state === "brimful";
  const probability = isAtRim ? 1 : (overProbability ?? 0);
  if (probability <= 0) return 0;
  const overMs = isAtRim ? nowMs : (brim?.t50Ms ?? brim?.t10Ms ?? afterMs);
  const hours = Math.max(1, (afterMs - overMs) / msPerHour);
  return Math.min(mostLostL, probability * Math.max(0, flowLPerH ?? 0) * hours);
}

function spoiltBefore(
  keeping: Keeping | null,
  { nowMs, afterMs }: { nowMs: number; afterMs: number },
): number {
  const boilByMs = keeping?.boilByMs ?? Number.POSITIVE_INFINITY;
  if (boilByMs <= nowMs) return spoilP.past;
  if (boilByMs <= afterMs) return spoilP.beforeNext;
  return boilByMs <= afterMs + spoilP.withinMs ? spoilP.within : 0;
}

function whyNow(
  { state, hasCell, capacityL, volumeL }: RoundBucket,
  { lostL, spoilt }: { lostL: number; spoilt: number },
): string {
  if (!hasCell) return "no cell: guessed like the others";
  if (state === "brimful") return "at the rim";
  if (lostL >= 0.1) return "may brim over before you come again";
  if (spoilt >= spoilP.past) return "has stood too warm for too long: smell it first";
  if (spoilt >= spoilP.beforeNext) return "warm sap does not keep until you come again";
  if (state === "silent") return "not heard from: as it was last known";
  const share = (volumeL ?? 0) / capacityL;
  return share >= 0.5 ? "more than half full" : "near the way";
}
