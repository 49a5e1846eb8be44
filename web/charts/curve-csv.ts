// Curves as CSV (RFC 4180): the time, and each column in people's units; missing is empty.
import { localParts } from "../../shared/local-time.ts";
import { msPerHour } from "../../shared/units.ts";
import { type Column, placesWithin } from "./columns.ts";
import type { TimeSpan } from "./time-span.ts";

export type CsvColumn = { head: string; values: Column; decimals: number };

export function curveCsv(table: {
  atMs: readonly number[];
  columns: readonly CsvColumn[];
  span: TimeSpan;
  /** Null: the times are hours since a thaw, not instants. */
  timeZone: string | null;
}): string {
  const { atMs, columns, span, timeZone } = table;
  const places = placesWithin(atMs, span);
  const times = timeZone === null ? ["hours since the thaw"] : ["time UTC", `time ${timeZone}`];
  const head = [...times, ...columns.map((column) => column.head)];
  const rows = places === undefined ? [] : atMs.slice(places.first, places.last + 1);
  const lines = rows.map((at, row) => {
    const place = (places?.first ?? 0) + row;
    const figures = columns.map(({ values, decimals }) => values[place]?.toFixed(decimals) ?? "");
    return [...timesOf(at, timeZone), ...figures];
  });
  return [head, ...lines].map((cells) => `${cells.map(quoted).join(",")}\r\n`).join("");
}

function timesOf(atMs: number, timeZone: string | null): string[] {
  if (timeZone === null) return [(atMs / msPerHour).toFixed(2)];
  return [new Date(atMs).toISOString(), localText(atMs, timeZone)];
}

function localText(atMs: number, timeZone: string): string {
  const { dayKey, hour, minute } = localParts(atMs, timeZone);
  const two = (value: number) => String(value).padStart(2, "0");
  return `${dayKey} ${two(hour)}:${two(minute)}`;
}

/** A cell that a spreadsheet would take for a sum is only ever a tree's name in the head. */
function quoted(cell: string): string {
  const safe = /^[=+\-@\t\r]/.test(cell) && Number.isNaN(Number(cell)) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
