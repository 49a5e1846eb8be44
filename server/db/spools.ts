// Knows which batches of a board's spool are settled: all up to `through`, and those ahead of a gap.
import type { Sqlite } from "./sqlite.ts";

export type Numbered = { board: string; spool: string; batch: number; skipped: number };
export type SpoolState = { board: string; spool: string; through: number };

export type Spools = ReturnType<typeof createSpools>;

/** Call the methods inside the transaction that stores what the batch holds. */
export function createSpools(sqlite: Sqlite) {
  const through = sqlite.prepare("SELECT through FROM spool WHERE board = ? AND spool = ?").pluck();
  const ahead = sqlite.prepare(
    "SELECT 1 FROM batch_ahead WHERE board = ? AND spool = ? AND batch = ?",
  );
  const listLatest = sqlite.prepare(
    `SELECT board, spool, through, max(at_ms) FROM spool GROUP BY board ORDER BY board`,
  );
  const settle = createSettle(sqlite);
  const forgetOld = createForgetOld(sqlite);
  const readThrough = (board: string, spool: string) =>
    (through.get(board, spool) as number | undefined) ?? 0;
  return {
    through: readThrough,
    /** True when this batch was settled before. */
    isSettled({ board, spool, batch }: Numbered): boolean {
      if (batch <= readThrough(board, spool)) return true;
      return ahead.get(board, spool, batch) !== undefined;
    },
    /** Settles a batch and the ones it gives up before it; returns the new `through`. */
    settle(numbered: Numbered, atMs: number): number {
      const { board, spool } = numbered;
      if (through.get(board, spool) === undefined) forgetOld(board);
      return settle(numbered, readThrough(board, spool), atMs);
    },
    /** Each board's spool that was heard last. */
    listLatest(): SpoolState[] {
      const rows = listLatest.all() as SpoolState[];
      return rows.map(({ board, spool, through: upTo }) => ({ board, spool, through: upTo }));
    },
  };
}

/** A board begins a spool with each new outbox: after so many the first of them never comes back. */
const mostSpools = 100;

/** Makes room for one more spool of a board; those heard last stay. */
function createForgetOld(sqlite: Sqlite): (board: string) => void {
  const kept = `SELECT spool FROM spool WHERE board = @board ORDER BY at_ms DESC LIMIT ${mostSpools - 1}`;
  const forget = ["batch_ahead", "spool"].map((table) =>
    sqlite.prepare(`DELETE FROM ${table} WHERE board = @board AND spool NOT IN (${kept})`),
  );
  return (board) => {
    for (const each of forget) each.run({ board });
  };
}

/** Ahead of a gap so many are remembered; what comes beyond is taken again once the gap is closed. */
export const mostAhead = 5000;

function createSettle(sqlite: Sqlite) {
  const save = sqlite.prepare(
    `INSERT INTO spool (board, spool, through, at_ms) VALUES (?, ?, ?, ?)
     ON CONFLICT (board, spool) DO UPDATE SET through = excluded.through, at_ms = excluded.at_ms`,
  );
  const keepAhead = sqlite.prepare(
    `INSERT INTO batch_ahead (board, spool, batch, from_batch) VALUES (?, ?, ?, ?)
     ON CONFLICT DO NOTHING`,
  );
  const listAhead = sqlite.prepare(
    `SELECT batch, from_batch AS fromBatch FROM batch_ahead WHERE board = ? AND spool = ?
     ORDER BY batch`,
  );
  const countAhead = sqlite
    .prepare("SELECT count(*) FROM batch_ahead WHERE board = ? AND spool = ?")
    .pluck();
  const dropAhead = sqlite.prepare(
    "DELETE FROM batch_ahead WHERE board = ? AND spool = ? AND batch <= ?",
  );
  return ({ board, spool, batch, skipped }: Numbered, before: number, atMs: number): number => {
    const fromBatch = batch - skipped;
    if (fromBatch > before + 1) {
      save.run(board, spool, before, atMs);
      const hasRoom = (countAhead.get(board, spool) as number) < mostAhead;
      if (hasRoom) keepAhead.run(board, spool, batch, fromBatch);
      return before;
    }
    let through = Math.max(before, batch);
    const rows = listAhead.all(board, spool) as { batch: number; fromBatch: number }[];
    for (const row of rows) {
      if (row.fromBatch > through + 1) break;
      through = Math.max(through, row.batch);
    }
    save.run(board, spool, through, atMs);
    if (rows.length > 0) dropAhead.run(board, spool, through);
    return through;
  };
}
