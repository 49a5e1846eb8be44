// Compares the trees of a yard over some days: what each gave, when it began to run, and how strong it is.
import { localParts, msAtLocalTime } from "../../shared/local-time.ts";
import { volumeLFromG } from "../../shared/sap/density.ts";
import { strengthsOf, type TreeDay, weakReason } from "./strength.ts";

/** One bucket's day. */
export type BucketDay = {
  bucketId: string;
  /** "2026-03-14". */
  day: string;
  inflowG: number;
  coveredMs: number;
  lowerBound: boolean;
  onsetMs?: number;
};

/** A bucket on a tree's taps; without days it hung there all the time. Days are inclusive. */
export type Hanging = { bucketId: string; taps: number; fromDay?: string; throughDay?: string };

export type ComparedTree = {
  treeId: string;
  label: string;
  /** Taps the tree has. */
  taps: number;
  hangings: readonly Hanging[];
  /** Mean of what was measured in the span; null for nothing. */
  sugarBrix: number | null;
};

/** As the wire has it. */
export type TreeComparison = {
  treeId: string;
  label: string;
  bucketIds: string[];
  taps: number;
  volumeL: number;
  lowerBound: boolean;
  perTapL: number | null;
  share: number | null;
  onsetMs: number | null;
  strength: number | null;
  strengthLow: number | null;
  strengthHigh: number | null;
  bestProbability: number | null;
  weakReason: string | null;
  sugarBrix: number | null;
  days: { day: string; volumeL: number | null }[];
};

type Given = { tree: ComparedTree; byDay: Map<string, GivenDay>; onsetsMs: number[] };
type GivenDay = { inflowG: number; coveredMs: number; taps: number; lowerBound: boolean };

const leastCoverage = 0.75;

/**
 * What each tree gave, in the order of the trees. The onset is the median time of day, put on the last day
 * the tree ran. A day a tree was heard for less than three quarters of the best heard is not held against it.
 */
export function compareTrees(
  bucketDays: readonly BucketDay[],
  trees: readonly ComparedTree[],
  timeZone: string,
): TreeComparison[] {
  const given = trees.map((tree) => givenBy(tree, bucketDays));
  const days = [...new Set(bucketDays.map(({ day }) => day))].sort();
  const strengths = strengthsOf(heardTreeDays(given, days));
  const totalG = given.reduce((sum, one) => sum + inflowGOf(one), 0);
  return given.map((one) => {
    const { treeId, label, taps, hangings, sugarBrix } = one.tree;
    const inflowG = inflowGOf(one);
    const volumeL = volumeLFromG(inflowG);
    const strength = strengths.get(treeId);
    return {
      treeId,
      label,
      bucketIds: [...new Set(hangings.map(({ bucketId }) => bucketId))],
      taps,
      volumeL,
      lowerBound: [...one.byDay.values()].some((day) => day.lowerBound),
      perTapL: taps > 0 ? volumeL / taps : null,
      share: totalG > 0 ? inflowG / totalG : null,
      onsetMs: medianOnsetMs(one.onsetsMs, timeZone),
      strength: strength?.strength ?? null,
      strengthLow: strength?.low ?? null,
      strengthHigh: strength?.high ?? null,
      bestProbability: strength?.bestProbability ?? null,
      weakReason: strength === undefined ? null : weakReason(strength),
      sugarBrix,
      days: days.map((day) => ({ day, volumeL: volumeLOf(one.byDay.get(day)) })),
    };
  });
}

function givenBy(tree: ComparedTree, bucketDays: readonly BucketDay[]): Given {
  const byDay = new Map<string, GivenDay>();
  const onsetsMs: number[] = [];
  for (const bucketDay of bucketDays) {
    const hanging = tree.hangings.find((candidate) => hungOn(candidate, bucketDay));
    if (hanging === undefined) {
      continue;
    }
    const before = byDay.get(bucketDay.day);
    byDay.set(bucketDay.day, {
      inflowG: (before?.inflowG ?? 0) + bucketDay.inflowG,
      coveredMs: Math.min(before?.coveredMs ?? bucketDay.coveredMs, bucketDay.coveredMs),
      taps: (before?.taps ?? 0) + hanging.taps,
      lowerBound: before?.lowerBound === true || bucketDay.lowerBound,
    });
    if (bucketDay.onsetMs !== undefined) {
      onsetsMs.push(bucketDay.onsetMs);
    }
  }
  return { tree, byDay, onsetsMs };
}

function hungOn({ bucketId, fromDay, throughDay }: Hanging, bucketDay: BucketDay): boolean {
  const { day } = bucketDay;
  const isWithin = day >= (fromDay ?? day) && day <= (throughDay ?? day);
  return bucketId === bucketDay.bucketId && isWithin;
}

function heardTreeDays(given: readonly Given[], days: readonly string[]): TreeDay[] {
  return days.flatMap((day) => {
    const best = Math.max(0, ...given.map(({ byDay }) => byDay.get(day)?.coveredMs ?? 0));
    return given.flatMap(({ byDay, tree }) => {
      const one = byDay.get(day);
      if (one === undefined || one.taps === 0 || one.coveredMs < leastCoverage * best) {
        return [];
      }
      const perTapL = volumeLFromG(one.inflowG) / one.taps;
      return [{ treeId: tree.treeId, day, perTapL, lowerBound: one.lowerBound }];
    });
  });
}

function inflowGOf({ byDay }: Given): number {
  return Math.max(
    0,
    [...byDay.values()].reduce((sum, day) => sum + day.inflowG, 0),
  );
}

function volumeLOf(day: GivenDay | undefined): number | null {
  return day === undefined ? null : Math.max(0, volumeLFromG(day.inflowG));
}

function medianOnsetMs(onsetsMs: readonly number[], timeZone: string): number | null {
  const last = onsetsMs.reduce((latest, atMs) => Math.max(latest, atMs), Number.NEGATIVE_INFINITY);
  const minutes = onsetsMs.map((atMs) => localParts(atMs, timeZone).minuteOfDay);
  const sorted = minutes.sort((one, other) => one - other);
  const middle = sorted.length >> 1;
  const upper = sorted[middle];
  if (upper === undefined) {
    return null;
  }
  const lower = sorted[sorted.length % 2 === 0 ? middle - 1 : middle] ?? upper;
  const minuteOfDay = Math.round((lower + upper) / 2);
  const hour = String(Math.floor(minuteOfDay / 60)).padStart(2, "0");
  const minute = String(minuteOfDay % 60).padStart(2, "0");
  return msAtLocalTime(last, `${hour}:${minute}`, timeZone);
}
