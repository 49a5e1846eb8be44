// All trees' flows on one axis, by the clock or by the hours since a thaw.
import { msPerHour } from "../../shared/units.ts";
import type { AfterThaw, TreeCurves } from "../../shared/wire/curves.ts";
import { type Column, extremesOf, placesWithin, spliced } from "./columns.ts";
import type { TimeSpan } from "./time-span.ts";

export type CompareTable = {
  /** Instants, or ms since a thaw. */
  atMs: number[];
  airC: Column;
  flowLPerH: Map<string, Column>;
  /** Thaws that a tree's mean is of; undefined by the clock. */
  thaws: Map<string, number> | undefined;
};

const air = "air";

export function clockTable(whole: TreeCurves | undefined, stretch: TreeCurves): CompareTable {
  const ids = stretch.trees.map(({ treeId }) => treeId);
  const isSame = whole !== undefined && whole.trees.length === ids.length;
  const names = [air, ...ids.map((id) => `tree ${id}`)];
  const joined = spliced(names, isSame ? columnsOf(whole) : undefined, columnsOf(stretch));
  return {
    atMs: joined.atMs,
    airC: joined[air] ?? [],
    flowLPerH: new Map(ids.map((id) => [id, joined[`tree ${id}`] ?? []])),
    thaws: undefined,
  };
}

function columnsOf({ atMs, airC, trees }: TreeCurves) {
  const flows = trees.map(({ treeId, flowLPerH }) => [`tree ${treeId}`, flowLPerH] as const);
  // Columns of numbers under names, and the one of times.
  return { ...Object.fromEntries(flows), [air]: airC, atMs } as { atMs: number[] } & Record<
    string,
    Column
  >;
}

export function thawTable({ hours, trees }: AfterThaw): CompareTable {
  return {
    atMs: hours.map((hour) => Math.round(hour * msPerHour)),
    airC: [],
    flowLPerH: new Map(trees.map(({ treeId, flowLPerH }) => [treeId, flowLPerH])),
    thaws: new Map(trees.map(({ treeId, thaws }) => [treeId, thaws])),
  };
}

const leastTopLPerH = 0.05;

/** The one scale of all curves in sight: the highest flow among them, never below a trickle. */
export function sharedTop({ atMs, flowLPerH }: CompareTable, span: TimeSpan): number {
  const places = placesWithin(atMs, span);
  const tops = [...flowLPerH.values()].map((column) => extremesOf(column, places)?.high ?? 0);
  return Math.max(leastTopLPerH, ...tops);
}
