// All columns of one bucket's charts on one axis of time: its curve, the year before, and the fan ahead.
import { localParts, msAtLocalTime } from "../../shared/local-time.ts";
import { msPerDay } from "../../shared/units.ts";
import type { Curve, CurveEvent } from "../../shared/wire/api.ts";
import type { Ahead } from "../../shared/wire/curves.ts";
import { type Column, type Columns, spliced } from "./columns.ts";

const curveNames = ["volumeL", "flowLPerH", "lowLPerH", "highLPerH", "airC"] as const;
const moreNames = ["beforeLPerH", "fanLowL", "fanMidL", "fanHighL"] as const;

export type TreeTable = Columns<(typeof curveNames)[number] | (typeof moreNames)[number]>;

/** Made of what has come so far; what hasn't is null all along. */
export function treeTable(from: {
  whole: Curve | undefined;
  stretch: Curve;
  /** The year before, and by how much later it is drawn. */
  before: { curve: Curve; laterMs: number } | undefined;
  ahead: Ahead | undefined;
}): TreeTable {
  const { ahead, before } = from;
  const known = spliced(curveNames, from.whole, from.stretch);
  const lastMs = known.atMs.at(-1) ?? Number.NEGATIVE_INFINITY;
  const coming = (ahead?.atMs ?? [])
    .map((atMs, place) => ({ atMs, place }))
    .filter(({ atMs }) => atMs > lastMs);
  const nothing: Column = known.atMs.map(() => null);
  const extended = (column: Column) => [...column, ...coming.map(() => null)];
  const fan = (column: number[] | undefined): Column => [
    ...withStart(nothing, ahead === undefined ? undefined : known.volumeL),
    ...coming.map(({ place }) => column?.[place] ?? null),
  ];
  const columns = curveNames.map((name) => [name, extended(known[name])] as const);
  return {
    ...(Object.fromEntries(columns) as Record<(typeof curveNames)[number], Column>),
    atMs: [...known.atMs, ...coming.map(({ atMs }) => atMs)],
    beforeLPerH: extended(before === undefined ? nothing : shifted(known.atMs, before)),
    fanLowL: fan(ahead?.lowL),
    fanMidL: fan(ahead?.midL),
    fanHighL: fan(ahead?.highL),
  };
}

/** The fan grows out of the last known level. */
function withStart(nothing: Column, volumeL: Column | undefined): Column {
  const last = volumeL?.findLastIndex((value) => value !== null) ?? -1;
  return last < 0
    ? nothing
    : nothing.map((_, place) => (place === last ? (volumeL?.[last] ?? null) : null));
}

function shifted(atMs: readonly number[], before: { curve: Curve; laterMs: number }): Column {
  const { curve, laterMs } = before;
  const flows = new Map(curve.atMs.map((at, place) => [at + laterMs, curve.flowLPerH[place]]));
  return atMs.map((at) => flows.get(at) ?? null);
}

/** By how much the same day and hour of the year before lies back: 365 or 366 days. */
export function yearLaterMs(atMs: number, timeZone: string): number {
  const { dayKey } = localParts(atMs, timeZone);
  const [year = "", ...rest] = dayKey.split("-");
  const monthDay = rest.join("-");
  const same = `${Number(year) - 1}-${monthDay === "02-29" ? "02-28" : monthDay}`;
  const noonMs = (day: string) => msAtLocalTime(day, "12:00", "UTC");
  return Math.round((noonMs(dayKey) - noonMs(same)) / msPerDay) * msPerDay;
}

/** Events of both, each once. */
export function eventsOf(whole: Curve | undefined, stretch: Curve): CurveEvent[] {
  const keyOf = ({ atMs, kind }: CurveEvent) => `${atMs} ${kind}`;
  const all = new Map(
    [...(whole?.events ?? []), ...stretch.events].map((event) => [keyOf(event), event]),
  );
  return [...all.values()].sort((one, other) => one.atMs - other.atMs);
}

/** The last place with a flow or a level; undefined when there is none. */
export function lastKnownPlace(
  table: Pick<TreeTable, "atMs" | "flowLPerH" | "volumeL">,
): number | undefined {
  const place = table.atMs.findLastIndex(
    (_, at) => (table.flowLPerH[at] ?? table.volumeL[at] ?? null) !== null,
  );
  return place < 0 ? undefined : place;
}
