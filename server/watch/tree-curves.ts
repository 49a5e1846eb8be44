// Curves of all trees on one time axis, and how each ran after the thaws: from ten-minute slots alone.
import { localParts } from "../../shared/local-time.ts";
import { volumeLFromG } from "../../shared/sap/density.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { AfterThaw, TreeCurves } from "../../shared/wire/curves.ts";
import type { Hanging } from "../db/hangings.ts";
import type { Tracks } from "../db/tracks.ts";
import type { TreeStore } from "../db/trees.ts";
import { type AlignedFlow, firstOfDays, meanAfter, thawsOf } from "../domain/after-thaw.ts";
import { slotMs } from "../domain/flow/ledger.ts";
import { mean } from "../domain/middle.ts";
import type { CurveSpan } from "./curve.ts";
import type { Roll } from "./roll.ts";
import { rounded } from "./rounded.ts";

type Parts = { tracks: Tracks; trees: TreeStore; roll: Roll; timeZone: () => string };
type Span = { fromMs: number; toMs: number };
type Grid = Span & { stepMs: number; count: number };
type Column = (number | null)[];
/** A bucket under some tree: where it hung, and what it told step by step. */
type Told = { hangings: Hanging[]; flowGPerH: Column; airC: Column };

const mostSteps = 1500;
/** So many of a span's last thaws make the mean. */
const mostThaws = 20;
const afterMs = { from: -2 * msPerHour, to: 14 * msPerHour };

/** At most 1,500 steps of ten minutes or more: stepMs is widened to fit. */
export function treeCurvesOf(parts: Parts, span: CurveSpan): TreeCurves {
  const grid = gridOf(span);
  const trees = parts.trees.list().map(({ id, label }) => {
    const told = bucketsUnder(parts.roll, id).map((own) => toldBy(parts.tracks, own, grid));
    return { treeId: id, label, told };
  });
  return {
    stepMs: grid.stepMs,
    atMs: Array.from({ length: grid.count }, (_, step) => endOf(grid, step)),
    airC: airOf(
      trees.flatMap(({ told }) => told),
      grid,
    ),
    trees: trees.map(({ treeId, label, told }) => {
      const flowLPerH = summed(told, grid).map((flowGPerH) =>
        flowGPerH === null ? null : rounded(volumeLFromG(flowGPerH), 4),
      );
      return { treeId, label, flowLPerH };
    }),
  };
}

function gridOf({ fromMs, toMs, stepMs: askedMs = slotMs }: CurveSpan): Grid {
  const leastMs = Math.max(askedMs, (toMs - fromMs) / (mostSteps - 1), slotMs);
  const stepMs = Math.ceil(leastMs / slotMs) * slotMs;
  const firstMs = Math.floor(fromMs / stepMs) * stepMs;
  const count = Math.max(1, Math.ceil((toMs - firstMs) / stepMs));
  return { fromMs: firstMs, toMs: firstMs + count * stepMs, stepMs, count };
}

function endOf({ fromMs, stepMs }: Grid, step: number): number {
  return fromMs + (step + 1) * stepMs;
}

type Under = { bucketId: string; hangings: Hanging[] };

/** The buckets that ever hung under a tree's taps; control buckets catch no sap. */
function bucketsUnder(roll: Roll, treeId: string): Under[] {
  return roll.all().flatMap(({ bucket, hangings }) => {
    const own = hangings.filter(({ tapIds }) =>
      tapIds.some((tapId) => roll.treeOfTap(tapId)?.id === treeId),
    );
    return own.length === 0 || bucket.role === "control"
      ? []
      : [{ bucketId: bucket.id, hangings: own }];
  });
}

function toldBy(tracks: Tracks, { bucketId, hangings }: Under, grid: Grid): Told {
  const flowGPerH: Column = new Array(grid.count).fill(null);
  const airC: Column = new Array(grid.count).fill(null);
  for (const group of tracks.listSlotGroups({ bucketId, ...grid })) {
    const step = Math.ceil((group.atMs - grid.fromMs) / grid.stepMs) - 1;
    flowGPerH[step] = group.flowGPerH;
    airC[step] = group.airC;
  }
  return { hangings, flowGPerH, airC };
}

function summed(told: readonly Told[], grid: Grid): Column {
  return Array.from({ length: grid.count }, (_, step) => {
    const untilMs = endOf(grid, step);
    const hung = told.filter(({ hangings }) =>
      hangsWithin(hangings, untilMs - grid.stepMs, untilMs),
    );
    return sumOf(hung.map(({ flowGPerH }) => flowGPerH[step] ?? null));
  });
}

function hangsWithin(hangings: readonly Hanging[], fromMs: number, untilMs: number): boolean {
  return hangings.some(
    (hanging) => hanging.fromMs < untilMs && (hanging.untilMs ?? untilMs) > fromMs,
  );
}

/** Null of nothing, and where one of them isn't known. */
function sumOf(values: Column): number | null {
  return values.length === 0
    ? null
    : values.reduce((sum, value) => (sum === null || value === null ? null : sum + value));
}

function airOf(told: readonly Told[], grid: Grid): Column {
  return Array.from({ length: grid.count }, (_, step) => {
    const known = told.flatMap(({ airC }) => airC[step] ?? []);
    return known.length === 0 ? null : rounded(mean(known), 2);
  });
}

/** Each tree by the thaws of its own thermometer, the last of each span, one a day. */
export function afterThawOf(parts: Parts, span: Span): AfterThaw {
  const count = (afterMs.to - afterMs.from) / slotMs + 1;
  const offsetsMs = Array.from({ length: count }, (_, step) => afterMs.from + step * slotMs);
  return {
    hours: offsetsMs.map((offsetMs) => rounded(offsetMs / msPerHour, 4)),
    trees: parts.trees.list().map(({ id, label }) => {
      const { thawsMs, flows } = thawsAndFlows(parts, bucketsUnder(parts.roll, id), span);
      const means = meanAfter(flows, thawsMs, { offsetsMs, withinMs: slotMs });
      const flowLPerH = means.map((flowGPerH) =>
        flowGPerH === null ? null : rounded(volumeLFromG(flowGPerH), 4),
      );
      return { treeId: id, label, thaws: thawsMs.length, flowLPerH };
    }),
  };
}

function thawsAndFlows({ tracks, timeZone }: Parts, under: readonly Under[], span: Span) {
  const dayOf = (atMs: number) => localParts(atMs, timeZone()).dayKey;
  const lastMs = Math.max(span.fromMs, span.toMs - mostThaws * msPerDay);
  const grid = gridOfSlots({ fromMs: lastMs + afterMs.from, toMs: span.toMs });
  const told = under.map((own) => toldBy(tracks, own, grid));
  const air = airOf(told, grid);
  const slots = air.map((airC, step) => ({
    atMs: endOf(grid, step),
    ...(airC === null ? {} : { airC }),
  }));
  const thawsMs = firstOfDays(thawsOf(slots), dayOf).filter((atMs) => atMs >= lastMs);
  const flows = summed(told, grid).map(
    (flowGPerH, step): AlignedFlow => ({ atMs: endOf(grid, step), flowGPerH }),
  );
  return { thawsMs, flows };
}

/** Every slot, however many they are. */
function gridOfSlots({ fromMs, toMs }: Span): Grid {
  const firstMs = Math.floor(fromMs / slotMs) * slotMs;
  const count = Math.max(1, Math.ceil((toMs - firstMs) / slotMs));
  return { fromMs: firstMs, toMs: firstMs + count * slotMs, stepMs: slotMs, count };
}
