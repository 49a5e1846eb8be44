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

  return {
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
