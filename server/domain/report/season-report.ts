// The season's report: what each tree and tap gave, what was made of it, how well the warnings did.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { worthOfSap } from "../../../shared/syrup/yield.ts";
import { msPerHour } from "../../../shared/units.ts";
import type { TreeComparison } from "../compare.ts";

export type ReportDay = { bucketId: string; day: string; inflowG: number };
export type ReportHanging = {
  bucketId: string;
  tapIds: readonly string[];
  fromDay: string;
  throughDay: string | null;
  /** A cell told what came in; else only who gathered knows. */
  isWeighed: boolean;
};
export type ReportTap = {
  id: string;
  label: string;
  treeId: string;
  tappedMs: number | null;
  pulledMs: number | null;
};
export type ReportAlarm = { kind: string; subject: string; raisedAtMs: number };
type DayVolume = { day: string; volumeL: number };

// Less than a glass in a day is what a cell's drift makes too.
const leastRunL = 0.1;
const bestShown = 5;
// A brim warning this long ago was of another filling.
const longestLeadMs = 48 * msPerHour;

/** Litres of all buckets by day, in order. */
export function volumesByDay(days: readonly ReportDay[]): DayVolume[] {
  const byDay = new Map<string, number>();
  for (const { day, inflowG } of days) {
    byDay.set(day, (byDay.get(day) ?? 0) + volumeLFromG(Math.max(0, inflowG)));
  }
  return [...byDay]
    .map(([day, volumeL]) => ({ day, volumeL }))
    .toSorted((one, other) => one.day.localeCompare(other.day));
}

export function bestDaysOf(days: readonly DayVolume[]): DayVolume[] {
  return days
    .filter(({ volumeL }) => volumeL >= leastRunL)
    .toSorted((one, other) => other.volumeL - one.volumeL)
    .slice(0, bestShown);
}

export function daysRunOf(days: readonly { volumeL: number | null }[]): number {
  return days.filter(({ volumeL }) => (volumeL ?? 0) >= leastRunL).length;
}

/** What a tree gave, and what its sugar is worth in syrup of 66 Brix. */
export function treeRow(tree: TreeComparison, lastYear: TreeComparison | undefined) {
  const { treeId, label, taps, volumeL, lowerBound, perTapL, sugarBrix } = tree;
  const known = tree.days.flatMap(({ day, volumeL: given }) =>
    given === null ? [] : [{ day, volumeL: given }],
  );
  const worth = sugarBrix === null ? undefined : worthOfSap({ volumeL, brix: sugarBrix });
  return {
    treeId,
    label,
    taps,
    volumeL,
    lowerBound,
    perTapL,
    daysRun: daysRunOf(known),
    bestDay: bestDaysOf(known)[0] ?? null,
    sugarBrix,
    sugarKg: worth?.sugarKg ?? null,
    syrupVolumeL: worth?.syrupVolumeL ?? null,
    lastYearVolumeL: lastYear === undefined || lastYear.volumeL === 0 ? null : lastYear.volumeL,
  };
}

/** A bucket's sap shared evenly by the taps that ran into it that day; taps that gave nothing are left out. */
export function tapRows(
  days: readonly ReportDay[],
  { hangings, taps }: { hangings: readonly ReportHanging[]; taps: readonly ReportTap[] },
) {
  const given = new Map<string, Map<string, number>>();
  for (const { bucketId, day, inflowG } of days) {
    const hanging = hangings.find((each) => each.bucketId === bucketId && hungOn(each, day));
    for (const tapId of hanging?.tapIds ?? []) {
      const byDay = given.get(tapId) ?? new Map<string, number>();
      const share = volumeLFromG(Math.max(0, inflowG)) / (hanging?.tapIds.length ?? 1);
      byDay.set(day, (byDay.get(day) ?? 0) + share);
      given.set(tapId, byDay);
    }
  }
  return taps.flatMap(({ id, ...tap }) => {
    const byDay = given.get(id);
    if (byDay === undefined) return [];
    const volumes = [...byDay.values()].map((volumeL) => ({ volumeL }));
    const volumeL = volumes.reduce((sum, each) => sum + each.volumeL, 0);
    return [{ tapId: id, ...tap, volumeL, daysRun: daysRunOf(volumes) }];
  });
}

/** By tree, what was gathered from buckets that no cell weighed, shared evenly by their taps. */
export function byHandOf(
  gathered: readonly { bucketId: string; day: string; volumeL: number }[],
  { hangings, taps }: { hangings: readonly ReportHanging[]; taps: readonly ReportTap[] },
): Map<string, number> {
  const given = new Map<string, number>();
  for (const { bucketId, day, volumeL } of gathered) {
    const hanging = hangings.find((each) => each.bucketId === bucketId && hungOn(each, day));
    if (hanging === undefined || hanging.isWeighed) continue;
    for (const tapId of hanging.tapIds) {
      const treeId = taps.find(({ id }) => id === tapId)?.treeId;
      if (treeId === undefined) continue;
      given.set(treeId, (given.get(treeId) ?? 0) + volumeL / hanging.tapIds.length);
    }
  }
  return given;
}

function hungOn({ fromDay, throughDay }: ReportHanging, day: string): boolean {
  return fromDay <= day && (throughDay === null || day <= throughDay);
}

/** How many buckets stood at the rim, of how many of these a warning had come before, and how long before. */
export function warningsOf(alarms: readonly ReportAlarm[]) {
  const counts = new Map<string, number>();
  for (const { kind } of alarms) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  const brimful = alarms.filter(({ kind }) => kind === "brimful");
  const leadsMs = brimful
    .map(({ subject, raisedAtMs }) => leadOf(alarms, subject, raisedAtMs))
    .filter((leadMs) => leadMs !== undefined)
    .toSorted((one, other) => one - other);
  const median = leadsMs[Math.floor((leadsMs.length - 1) / 2)];
  return {
    byKind: [...counts].map(([kind, count]) => ({ kind, count })),
    brimful: brimful.length,
    warned: leadsMs.length,
    medianLeadH: median === undefined ? null : median / msPerHour,
  };
}

function leadOf(alarms: readonly ReportAlarm[], subject: string, atMs: number): number | undefined {
  const leads = alarms
    .filter((alarm) => alarm.kind === "brim" && alarm.subject === subject)
    .map(({ raisedAtMs }) => atMs - raisedAtMs)
    .filter((leadMs) => leadMs > 0 && leadMs <= longestLeadMs);
  return leads.length === 0 ? undefined : Math.min(...leads);
}

/** "2025-03-14" for "2026-03-14". */
export function dayOfYear(day: string, year: number): string {
  return `${year}${day.slice(4)}`;
}
