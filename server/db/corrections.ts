// Corrected calibrations of what cells weighed: kept beside the readings, never written over them.
import { AppError } from "../../shared/errors.ts";
import type { ScaleSpan } from "../domain/correction.ts";
import type { Sqlite } from "./sqlite.ts";

/** `cell` is "hill/cell-1". */
export type Correction = ScaleSpan & { id: number; cell: string; madeMs: number };
export type NewCorrection = ScaleSpan & { madeMs: number };

/** Readings of a cell in a span. */
export type Countable = {
  readings: number;
  /** Those without counts, which nothing can correct. */
  withoutCounts: number;
  leastCounts: number | null;
  mostCounts: number | null;
  newestMs: number | null;
};

export type CorrectionStore = ReturnType<typeof createCorrectionStore>;

const select = `
  SELECT x.id, x.cell_key AS cellKey, c.board || '/' || c.name AS cell, x.from_ms AS fromMs,
         x.until_ms AS untilMs, x.zero_counts AS zeroCounts, x.counts_per_g AS countsPerG,
         x.made_ms AS madeMs
  FROM correction x JOIN cell c ON c.key = x.cell_key`;

export function createCorrectionStore(sqlite: Sqlite) {
  const listAll = sqlite.prepare(`${select} ORDER BY x.id DESC`);
  const findOne = sqlite.prepare(`${select} WHERE x.id = ?`);
  const insertOne = sqlite.prepare(`
    INSERT INTO correction (cell_key, from_ms, until_ms, zero_counts, counts_per_g, made_ms)
    VALUES (@cellKey, @fromMs, @untilMs, @zeroCounts, @countsPerG, @madeMs)`);
  const removeOne = sqlite.prepare("DELETE FROM correction WHERE id = ?");
  const countIn = sqlite.prepare(`
    SELECT count(*) AS readings, count(*) - count(counts) AS withoutCounts,
           min(counts) AS leastCounts, max(counts) AS mostCounts, max(at_ms) AS newestMs
    FROM reading WHERE cell_key = @cellKey AND at_ms >= @fromMs AND at_ms < @untilMs`);

  /** Throws AppError "not-found". */
  function get(id: number): Correction {
    const found = findOne.get(id) as Correction | undefined;
    if (found !== undefined) return found;
    throw new AppError("not-found", `correction requires one that exists, got ${id}`);
  }
  return {
    /** The newest first, which is the one that holds. */
    list: () => listAll.all() as Correction[],
    insert: (correction: NewCorrection) => get(Number(insertOne.run(correction).lastInsertRowid)),
    /** Gives what was removed. Throws AppError "not-found". */
    remove(id: number): Correction {
      const removed = get(id);
      removeOne.run(id);
      return removed;
    },
    countIn: ({ cellKey, fromMs, untilMs }: Pick<ScaleSpan, "cellKey" | "fromMs" | "untilMs">) =>
      countIn.get({ cellKey, fromMs, untilMs }) as Countable,
  };
}

/** Gives the corrections that hold now, the first that applies to a reading before others. */
export function createCorrectionList(sqlite: Sqlite): () => ScaleSpan[] {
  // Looked at with each list of readings: the table is empty or short, and nothing is to go stale.
  const list = sqlite.prepare(`
    SELECT cell_key AS cellKey, from_ms AS fromMs, until_ms AS untilMs,
           zero_counts AS zeroCounts, counts_per_g AS countsPerG FROM correction ORDER BY id DESC`);
  return () => list.all() as ScaleSpan[];
}
