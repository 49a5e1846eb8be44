// Bottled batches, numbered within their year.
import { AppError } from "../../shared/errors.ts";
import type { Batch, Bottle } from "../../shared/wire/boils.ts";
import { changedBy } from "./changed-by.ts";
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";

export type BatchRecord = Omit<Batch, "colour" | "filling">;
type BatchRow = Omit<BatchRecord, "bottles"> & { bottles: string };
type NewBatch = Omit<BatchRecord, "id" | "number">;
type BatchChange = {
  [K in keyof Omit<BatchRecord, "id" | "year" | "number">]?: BatchRecord[K] | undefined;
};

export type BatchStore = ReturnType<typeof createBatchStore>;

const columns = `id, year, number, boil_id AS boilId, bottled_ms AS bottledMs, brix,
  transmission_percent AS transmissionPercent, fill_temp_c AS fillTempC, volume_l AS volumeL,
  bottles, ingredients, words, note`;

const batchFrom = ({ bottles, ...row }: BatchRow): BatchRecord => ({
  ...row,
  bottles: JSON.parse(bottles) as Bottle[],
});

export function createBatchStore(sqlite: Sqlite) {
  const listSpan = sqlite.prepare(
    `SELECT ${columns} FROM batch WHERE bottled_ms >= ? AND bottled_ms < ? ORDER BY bottled_ms, id`,
  );
  const findOne = sqlite.prepare(`SELECT ${columns} FROM batch WHERE id = ?`);
  const lastNumber = sqlite
    .prepare("SELECT coalesce(max(number), 0) FROM batch WHERE year = ?")
    .pluck();
  const boilThere = sqlite.prepare("SELECT 1 FROM boil WHERE id = ?").pluck();
  const insertOne = sqlite.prepare(`INSERT INTO batch (year, number, boil_id, bottled_ms, brix,
    transmission_percent, fill_temp_c, volume_l, bottles, ingredients, words, note)
    VALUES (@year, @number, @boilId, @bottledMs, @brix, @transmissionPercent, @fillTempC, @volumeL,
    @bottles, @ingredients, @words, @note)`);
  const updateOne = sqlite.prepare(`UPDATE batch SET boil_id = @boilId, bottled_ms = @bottledMs,
    brix = @brix, transmission_percent = @transmissionPercent, fill_temp_c = @fillTempC,
    volume_l = @volumeL, bottles = @bottles, ingredients = @ingredients, words = @words,
    note = @note WHERE id = @id`);
  const deleteOne = sqlite.prepare("DELETE FROM batch WHERE id = ?");

  /** Throws AppError "not-found". */
  function get(id: number): BatchRecord {
    const row = findOne.get(id) as BatchRow | undefined;
    if (!row) throw new AppError("not-found", `batch requires one that exists, got ${id}`);
    return batchFrom(row);
  }

  function requireBoil(boilId: number | null): void {
    if (boilId === null || boilThere.get(boilId) !== undefined) return;
    throw new AppError("conflict", `boilId requires a boil that exists, got ${boilId}`);
  }

  return {
    get,

    /** Those bottled at or after `fromMs` and before `toMs`, oldest first. */
    list: ({ fromMs, toMs }: { fromMs: number; toMs: number }): BatchRecord[] =>
      (listSpan.all(fromMs, toMs) as BatchRow[]).map(batchFrom),

    /** Gets the next number of its year. Throws AppError "conflict": no such boil. */
    insert: transactional(sqlite, (batch: NewBatch): BatchRecord => {
      requireBoil(batch.boilId);
      const number = (lastNumber.get(batch.year) as number) + 1;
      const row = { ...batch, number, bottles: JSON.stringify(batch.bottles) };
      return get(Number(insertOne.run(row).lastInsertRowid));
    }),

    /** Year and number stay: they are on the labels. Throws AppError "not-found", "conflict": no such boil. */
    update(id: number, patch: BatchChange): BatchRecord {
      const next = changedBy(get(id), patch);
      requireBoil(next.boilId);
      updateOne.run({ ...next, bottles: JSON.stringify(next.bottles) });
      return get(id);
    },

    /** Throws AppError "not-found". */
    remove(id: number): void {
      get(id);
      deleteOne.run(id);
    },
  };
}
