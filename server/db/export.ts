// All the data in pages, for taking it elsewhere. A page at a time: an open cursor would keep
// everybody else from writing.
import { correctedReading } from "../domain/correction.ts";
import { createCorrectionList } from "./corrections.ts";
import type { Sqlite } from "./sqlite.ts";

export type ExportSpan = { fromMs: number; toMs: number };
export type ReadingRow = {
  cellKey: number;
  board: string;
  cell: string;
  atMs: number;
  massG: number;
  spreadG: number | null;
  counts: number | null;
};
export type FlowRow = {
  bucketId: string;
  atMs: number;
  netG: number;
  inflowG: number;
  flowGPerH: number;
  lowGPerH: number;
  highGPerH: number;
  airC: number | null;
};

export type TemperatureRow = {
  probeKey: number;
  board: string;
  probe: string;
  atMs: number;
  tempC: number;
};
export type HungRow = {
  bucketId: string;
  label: string;
  role: string;
  cell: string | null;
  fromMs: number;
  untilMs: number | null;
  capacityL: number;
  emptyG: number;
  sunShare: number;
};

export type ExportStore = ReturnType<typeof createExportStore>;

const pageRows = 2000;

export function createExportStore(sqlite: Sqlite) {
  const readingPage = sqlite.prepare(`
    SELECT r.cell_key AS cellKey, c.board, c.name AS cell, r.at_ms AS atMs,
           r.mass_dg / 10.0 AS massG, r.spread_dg / 10.0 AS spreadG, r.counts
    FROM reading r JOIN cell c ON c.key = r.cell_key
    WHERE (r.cell_key, r.at_ms) > (@cellKey, @atMs) AND r.at_ms >= @fromMs AND r.at_ms < @toMs
    ORDER BY r.cell_key, r.at_ms LIMIT ${pageRows}`);
  const corrections = createCorrectionList(sqlite);
  const flowPage = sqlite.prepare(`
    SELECT bucket_id AS bucketId, at_ms AS atMs, mass_dg / 10.0 AS netG,
           inflow_dg / 10.0 AS inflowG, flow_g_per_h AS flowGPerH, low_g_per_h AS lowGPerH,
           high_g_per_h AS highGPerH, air_cc / 100.0 AS airC
    FROM ten_minute
    WHERE (bucket_id, at_ms) > (@bucketId, @atMs) AND at_ms >= @fromMs AND at_ms < @toMs
    ORDER BY bucket_id, at_ms LIMIT ${pageRows}`);

  const temperaturePage = sqlite.prepare(`
    SELECT t.probe_key AS probeKey, p.board, p.name AS probe, t.at_ms AS atMs,
           t.temp_cc / 100.0 AS tempC
    FROM temperature t JOIN probe p ON p.key = t.probe_key
    WHERE (t.probe_key, t.at_ms) > (@probeKey, @atMs) AND t.at_ms >= @fromMs AND t.at_ms < @toMs
    ORDER BY t.probe_key, t.at_ms LIMIT ${pageRows}`);
  const hung = sqlite.prepare(`
    SELECT b.id AS bucketId, b.label, b.role, h.board || '/' || h.cell AS cell,
           h.from_ms AS fromMs, h.until_ms AS untilMs, h.capacity_l AS capacityL,
           h.empty_g AS emptyG, h.sun_share AS sunShare
    FROM hanging h JOIN bucket b ON b.id = h.bucket_id
    WHERE h.from_ms < @toMs AND (h.until_ms IS NULL OR h.until_ms > @fromMs)
    ORDER BY b.id, h.from_ms, h.id`);

  return {
    /** Temperatures probe by probe in order of time. */
    *temperatures(span: ExportSpan): Generator<TemperatureRow[]> {
      let after = { probeKey: 0, atMs: 0 };
      for (;;) {
        const rows = temperaturePage.all({ ...span, ...after }) as TemperatureRow[];
        const last = rows.at(-1);
        if (last === undefined) return;
        yield rows;
        after = { probeKey: last.probeKey, atMs: last.atMs };
      }
    },

    /** What hung where at any time of the span. */
    hung: (span: ExportSpan) => hung.all(span) as HungRow[],

    /** Readings cell by cell in order of time, weighed as the corrections that hold now have it. */
    *readings(span: ExportSpan): Generator<ReadingRow[]> {
      let after = { cellKey: 0, atMs: 0 };
      for (;;) {
        const rows = readingPage.all({ ...span, ...after }) as ReadingRow[];
        const last = rows.at(-1);
        if (last === undefined) return;
        const all = corrections();
        yield rows.map((row) => correctedReading(row, row.cellKey, all));
        after = { cellKey: last.cellKey, atMs: last.atMs };
      }
    },

    /** Ten-minute steps bucket by bucket in order of time. */
    *flow(span: ExportSpan): Generator<FlowRow[]> {
      let after = { bucketId: "", atMs: 0 };
      for (;;) {
        const rows = flowPage.all({ ...span, ...after }) as FlowRow[];
        const last = rows.at(-1);
        if (last === undefined) return;
        yield rows;
        after = { bucketId: last.bucketId, atMs: last.atMs };
      }
    },
  };
}
