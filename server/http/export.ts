// All the data as CSV (RFC 4180), streamed.
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import type { Response } from "express";
import { spanQuerySchema } from "../../shared/wire/api.ts";
import { csvLine } from "./csv.ts";
import { recordTables } from "./export-records.ts";
import { sapTables } from "./export-sap.ts";
import { type Cell, type Span, type Table, timeText } from "./export-table.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { spanFrom } from "./span.ts";

type Parts = Pick<
  HttpParts,
  | "exports"
  | "gatherings"
  | "clock"
  | "trees"
  | "taps"
  | "buckets"
  | "boils"
  | "batches"
  | "seasons"
  | "alarms"
  | "tracks"
  | "vessels"
  | "pours"
  | "sugars"
  | "rounds"
>;

export function exportRoutes(parts: Parts): Route[] {
  const own = [readingsTable, temperaturesTable, bucketsTable, flowTable, gatheringsTable];
  const tables = [
    ...own.map((tableOf) => tableOf(parts)),
    ...recordTables(parts),
    ...sapTables(parts),
  ];
  return tables.map((table) =>
    route({
      method: "get",
      path: `/export/${table.name}.csv`,
      summary: table.summary,
      query: spanQuerySchema,
      answerType: "text/csv",
      handle: ({ query, response }) => {
        const span = spanFrom(query, { fromMs: 0, toMs: parts.clock.nowMs() + 1 });
        return sendCsv(response, table, span);
      },
    }),
  );
}

async function sendCsv(response: Response, table: Table, span: Span): Promise<void> {
  response.type("text/csv; charset=utf-8");
  response.set("cache-control", "no-store");
  response.attachment(`${table.name}.csv`);
  function* chunks() {
    yield csvLine(table.header);
    for (const rows of table.pages(span)) yield rows.map(csvLine).join("");
  }
  try {
    await pipeline(Readable.from(chunks()), response);
  } catch (error) {
    // Whoever asked has gone away.
    if ((error as { code?: string }).code !== "ERR_STREAM_PREMATURE_CLOSE") throw error;
  }
}

function* pagesOf<T>(pages: Iterable<T[]>, cellsOf: (row: T) => Cell[]): Generator<Cell[][]> {
  for (const rows of pages) yield rows.map(cellsOf);
}

function readingsTable({ exports }: Parts): Table {
  return {
    name: "readings",
    summary: "Every reading: gross mass on the cell",
    header: ["time", "board", "cell", "mass_kg", "spread_kg", "counts"],
    pages: (span) =>
      pagesOf(exports.readings(span), ({ atMs, board, cell, massG, spreadG, counts }) => [
        timeText(atMs),
        board,
        cell,
        (massG / 1000).toFixed(4),
        spreadG === null ? null : (spreadG / 1000).toFixed(4),
        counts,
      ]),
  };
}

function temperaturesTable({ exports }: Parts): Table {
  return {
    name: "temperatures",
    summary: "Every temperature that a probe measured",
    header: ["time", "board", "probe", "temp_c"],
    pages: (span) =>
      pagesOf(exports.temperatures(span), ({ atMs, board, probe, tempC }) => [
        timeText(atMs),
        board,
        probe,
        tempC.toFixed(2),
      ]),
  };
}

function bucketsTable({ exports }: Parts): Table {
  return {
    name: "buckets",
    summary: "Which bucket hung on which cell from when until when, and how it was made",
    header: ["bucket", "label", "role", "cell", "from", "until"].concat([
      "capacity_l",
      "empty_kg",
      "sun_share",
    ]),
    pages: (span) =>
      pagesOf([exports.hung(span)], (row) => [
        row.bucketId,
        row.label,
        row.role,
        row.cell,
        timeText(row.fromMs),
        row.untilMs === null ? null : timeText(row.untilMs),
        Number(row.capacityL.toFixed(4)),
        (row.emptyG / 1000).toFixed(3),
        row.sunShare,
      ]),
  };
}

function flowTable({ exports }: Parts): Table {
  return {
    name: "flow",
    summary: "Every ten minutes of every bucket: sap held, sap that came, flow with its interval",
    header: ["time", "bucket", "sap_kg", "came_kg", "flow_kg_per_h", "low_kg_per_h"].concat([
      "high_kg_per_h",
      "air_c",
    ]),
    pages: (span) =>
      pagesOf(exports.flow(span), (row) => [
        timeText(row.atMs),
        row.bucketId,
        (row.netG / 1000).toFixed(4),
        (row.inflowG / 1000).toFixed(4),
        (row.flowGPerH / 1000).toFixed(3),
        (row.lowGPerH / 1000).toFixed(3),
        (row.highGPerH / 1000).toFixed(3),
        row.airC,
      ]),
  };
}

function gatheringsTable({ gatherings }: Parts): Table {
  return {
    name: "gatherings",
    summary: "Every gathering, struck ones among them",
    header: ["time", "bucket", "volume_l", "by", "struck", "note"],
    pages: (span) =>
      pagesOf([gatherings.list(span)], ({ atMs, bucketId, volumeL, by, struck, note }) => [
        timeText(atMs),
        bucketId,
        volumeL.toFixed(3),
        by,
        struck ? "yes" : "no",
        note,
      ]),
  };
}
