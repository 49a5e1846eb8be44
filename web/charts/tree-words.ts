// What one bucket's curves say: at one place in words, over a span as a table.
import {
  formatFlow,
  formatTemp,
  formatTimeOfDay,
  formatVolume,
} from "../../shared/people/format.ts";
import { formatFlowRange, tempNumber, tempUnit, volumeNumber, volumeUnit } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import type { Column } from "./columns.ts";
import { curveCsv } from "./curve-csv.ts";
import type { TimeSpan } from "./time-span.ts";
import type { TreeTable } from "./tree-table.ts";

/** What the curves say at one place: "Wed 14:20 · 0.42 L/h, likely …". */
export function readoutWords(table: TreeTable, place: number | undefined, page: PageFrame): string {
  const atMs = place === undefined ? undefined : table.atMs[place];
  if (place === undefined || atMs === undefined) return "No readings in this span";
  const time = formatTimeOfDay(atMs, page);
  const told = (table.fanMidL[place] ?? null) !== null && (table.volumeL[place] ?? null) === null;
  const parts = told ? aheadParts(table, place, page) : pastParts(table, place, page);
  return [time, ...parts].filter((part) => part !== undefined).join(" · ");
}

type Words = string | undefined;

function said(column: Column, place: number, words: (value: number) => string): Words {
  const value = column[place] ?? null;
  return value === null ? undefined : words(value);
}

function pastParts(table: TreeTable, place: number, { units }: PageFrame): Words[] {
  const flow = said(table.flowLPerH, place, (value) => formatFlow(value, units));
  const low = table.lowLPerH[place] ?? null;
  const high = table.highLPerH[place] ?? null;
  const isBanded = flow !== undefined && low !== null && high !== null;
  return [
    flow ?? "flow not known",
    isBanded ? `likely ${formatFlowRange(low, high, units)}` : undefined,
    said(table.beforeLPerH, place, (value) => `the year before ${formatFlow(value, units)}`),
    said(table.volumeL, place, (value) => `${formatVolume(value, units)} in the bucket`),
    said(table.airC, place, (value) => `air ${formatTemp(value, units)}`),
  ];
}

function aheadParts(table: TreeTable, place: number, { units }: PageFrame): Words[] {
  const ends = [table.fanLowL, table.fanHighL].map((column) => column[place] ?? 0);
  const [low = "", high = ""] = ends.map((value) => formatVolume(value, units));
  const [bare] = low.split(" ");
  return [
    said(table.fanMidL, place, (value) => `forecast ${formatVolume(value, units)} in the bucket`),
    low === high ? undefined : `likely ${bare} to ${high}`,
    "if nobody empties it",
  ];
}

/** What is in sight, in the browser's units. */
export function treeCsv(table: TreeTable, span: TimeSpan, page: PageFrame): string {
  const { units, timeZone } = page;
  const volume = volumeUnit(units);
  const inVolume = (values: Column) =>
    values.map((value) => (value === null ? null : volumeNumber(value, units)));
  const inTemp = (values: Column) =>
    values.map((value) => (value === null ? null : tempNumber(value, units)));
  return curveCsv({
    atMs: table.atMs,
    span,
    timeZone,
    columns: [
      { head: `flow ${volume}/h`, values: inVolume(table.flowLPerH), decimals: 3 },
      { head: `flow low ${volume}/h`, values: inVolume(table.lowLPerH), decimals: 3 },
      { head: `flow high ${volume}/h`, values: inVolume(table.highLPerH), decimals: 3 },
      { head: `in the bucket ${volume}`, values: inVolume(table.volumeL), decimals: 3 },
      { head: `air ${tempUnit(units)}`, values: inTemp(table.airC), decimals: 1 },
      { head: `forecast low ${volume}`, values: inVolume(table.fanLowL), decimals: 3 },
      { head: `forecast ${volume}`, values: inVolume(table.fanMidL), decimals: 3 },
      { head: `forecast high ${volume}`, values: inVolume(table.fanHighL), decimals: 3 },
    ],
  });
}
