// Brings together what the season's report needs from the stores.
import { localParts } from "../../shared/local-time.ts";
import { colourClass } from "../../shared/syrup/grade.ts";
import type { Compare } from "../../shared/wire/api.ts";
import type { Boil } from "../../shared/wire/boils.ts";
import type { Gathering, Tap } from "../../shared/wire/records.ts";
import type { SeasonReport, SeasonTotals } from "../../shared/wire/seasons.ts";
import type { BatchRecord } from "../db/batches.ts";
import {
  bestDaysOf,
  byHandOf,
  dayOfYear,
  daysRunOf,
  type ReportDay,
  tapRows,
  treeRow,
  volumesByDay,
  warningsOf,
} from "../domain/report/season-report.ts";
import { viewOf } from "./boils.ts";
import { type KitchenParts, zoneNow } from "./kitchen.ts";
import type { HttpParts } from "./parts.ts";

export type ReportParts = KitchenParts &
  Pick<HttpParts, "batches" | "gatherings" | "taps" | "buckets" | "alarms" | "tracks">;

type Span = { year: number; fromMs: number; untilMs: number };
type Year = {
  compare: Compare;
  days: ReportDay[];
  boils: Boil[];
  batches: BatchRecord[];
  taps: number;
  gathered: Gathering[];
};

export function reportOf(parts: ReportParts, span: Span): SeasonReport {
  const now = yearOf(parts, span);
  const last = yearOf(parts, yearBefore(span));
  const lastTotals = totalsOf(last);
  const isKnown = lastTotals.sapVolumeL > 0 || last.boils.length > 0 || last.batches.length > 0;
  const volumes = volumesByDay(now.days);
  const dayOf = daysIn(zoneNow(parts));
  const records = { hangings: hangingsOf(parts, dayOf), taps: parts.taps.list() };
  const gathered = now.gathered.map((each) => ({ ...each, day: dayOf(each.atMs) }));
  const byHand = byHandOf(gathered, records);
  return {
    year: span.year,
    totals: totalsOf(now),
    lastYear: isKnown ? lastTotals : null,
    trees: now.compare.trees.map((tree) => ({
      ...treeRow(
        tree,
        last.compare.trees.find(({ treeId }) => treeId === tree.treeId),
      ),
      byHandL: byHand.get(tree.treeId) ?? 0,
    })),
    taps: tapRows(now.days, records).map(
      ({ tapId, label, treeId, volumeL, daysRun, tappedMs, pulledMs }) => ({
        tapId,
        label,
        treeId,
        volumeL,
        daysRun,
        tappedMs,
        pulledMs,
      }),
    ),
    days: besideLastYear(volumes, volumesByDay(last.days), span.year),
    bestDays: bestDaysOf(volumes),
    colours: coloursOf(now.batches),
    boils: now.boils,
    warnings: warningsOf(parts.alarms.list({ fromMs: span.fromMs, toMs: span.untilMs })),
  };
}

function yearBefore({ year, fromMs, untilMs }: Span): Span {
  return { year: year - 1, fromMs: fromMs - (untilMs - fromMs), untilMs: fromMs };
}

function yearOf(parts: ReportParts, { year, fromMs, untilMs }: Span): Year {
  const span = { fromMs, toMs: untilMs };
  const control = new Set(
    parts.buckets.list().flatMap(({ id, role }) => (role === "control" ? [id] : [])),
  );
  const gathered = parts.gatherings.list(span).filter(({ struck }) => !struck);
  return {
    compare: parts.watch.compare(span),
    days: parts.tracks
      .listDays(`${year}-01-01`, `${year}-12-31`)
      .filter(({ bucketId }) => !control.has(bucketId)),
    boils: parts.boils.list(span).map((boil) => viewOf(parts, boil)),
    batches: parts.batches.list(span),
    taps: parts.taps.list().filter((tap) => isOfYear(tap, { fromMs, untilMs })).length,
    gathered,
  };
}

/** As the comparison of trees counts them, but a hole drilled later is of no earlier year. */
function isOfYear(tap: Tap, { fromMs, untilMs }: Pick<Span, "fromMs" | "untilMs">): boolean {
  const { tappedMs, pulledMs } = tap;
  return (tappedMs ?? fromMs) < untilMs && (pulledMs ?? untilMs) >= fromMs;
}

function totalsOf({ compare, days, boils, batches, taps, gathered }: Year): SeasonTotals {
  const volumes = volumesByDay(days);
  const sapVolumeL = sum(volumes.map(({ volumeL }) => volumeL));
  const ran = compare.trees.filter(({ volumeL }) => volumeL > 0);
  const ranTaps = sum(ran.map((tree) => tree.taps));
  const accounts = boils.map(({ account }) => account);
  const drawnVolumeL = sum(accounts.map((each) => each.drawnVolumeL));
  const boiledVolumeL = sum(accounts.map((each) => each.sapVolumeL));
  const over = boils.filter(({ endedMs }) => endedMs !== null);
  const overDrawnL = sum(over.map(({ account }) => account.drawnVolumeL));
  const fuel = (kind: Boil["fuel"]) =>
    sum(boils.filter((boil) => boil.fuel === kind).map(({ account }) => account.fuelAmount));
  return {
    sapVolumeL,
    gatheredVolumeL: sum(gathered.map(({ volumeL }) => volumeL)),
    taps,
    perTapL: ranTaps === 0 ? null : sapVolumeL / ranTaps,
    daysRun: daysRunOf(volumes),
    sugarKg: sugarOf(ran),
    boils: boils.length,
    boilHours: sum(accounts.map(({ hours }) => hours ?? 0)),
    boiledVolumeL,
    drawnVolumeL,
    woodKg: fuel("wood"),
    propaneKg: fuel("propane"),
    electricityKwh: fuel("electricity"),
    batches: batches.length,
    bottledVolumeL: sum(batches.map(({ volumeL }) => volumeL)),
    sapPerSyrup:
      overDrawnL === 0 ? null : sum(over.map(({ account }) => account.sapVolumeL)) / overDrawnL,
  };
}

/** Of the trees whose sap was measured; null when none was. */
function sugarOf(trees: Compare["trees"]): number | null {
  const rows = trees.map((tree) => treeRow(tree, undefined).sugarKg).filter((kg) => kg !== null);
  return rows.length === 0 ? null : sum(rows);
}

function besideLastYear(
  now: { day: string; volumeL: number }[],
  last: { day: string; volumeL: number }[],
  year: number,
): SeasonReport["days"] {
  const lastByDay = new Map(last.map(({ day, volumeL }) => [dayOfYear(day, year), volumeL]));
  const nowByDay = new Map(now.map(({ day, volumeL }) => [day, volumeL]));
  const days = [...new Set([...nowByDay.keys(), ...lastByDay.keys()])].toSorted();
  return days.map((day) => ({
    day,
    volumeL: nowByDay.get(day) ?? 0,
    lastYearVolumeL: lastByDay.get(day) ?? null,
  }));
}

function coloursOf(batches: readonly BatchRecord[]): SeasonReport["colours"] {
  const byColour = new Map<string, number>();
  for (const { transmissionPercent, volumeL } of batches) {
    const colour = transmissionPercent === null ? "not read" : colourClass(transmissionPercent);
    byColour.set(colour, (byColour.get(colour) ?? 0) + volumeL);
  }
  return [...byColour].map(([colour, volumeL]) => ({ colour, volumeL }));
}

const daysIn = (timeZone: string) => (atMs: number) => localParts(atMs, timeZone).dayKey;

function hangingsOf(parts: ReportParts, dayOf: (atMs: number) => string) {
  return parts.buckets.list().flatMap(({ id }) =>
    parts.buckets.hangings.listOfBucket(id).map(({ bucketId, tapIds, cell, fromMs, untilMs }) => ({
      bucketId,
      tapIds,
      fromDay: dayOf(fromMs),
      throughDay: untilMs === null ? null : dayOf(untilMs),
      isWeighed: cell !== null,
    })),
  );
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
