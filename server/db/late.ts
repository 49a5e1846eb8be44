// Marks what came later than newer weights, with the readings themselves: a crash before they are gone through forgets none.
import type { Sqlite } from "./sqlite.ts";

type Range = { fromMs: number; untilMs: number };
/** What one pack brought that is new: weights by cell, and the span of all else. */
export type Brought = {
  board: string;
  cells: ReadonlyMap<number, Range>;
  others: Range | undefined;
};
/** Without a cell, all that hangs on the board. */
export type LateMark = { board: string; cellKey: number | undefined; fromMs: number };

export type LateStore = ReturnType<typeof createLateStore>;

const allCells = 0;

export function createLateStore(sqlite: Sqlite) {
  const newest = createNewest(sqlite);
  const put = sqlite.prepare(
    `INSERT INTO late (board, cell_key, from_ms) VALUES (?, ?, ?)
     ON CONFLICT (board, cell_key) DO UPDATE SET from_ms = min(from_ms, excluded.from_ms)`,
  );
  const list = sqlite.prepare("SELECT board, cell_key AS cellKey, from_ms AS fromMs FROM late");
  const remove = sqlite.prepare("DELETE FROM late");
  const marked = new Map<string, number>();
  let mayHaveMarks = true;

  function mark(board: string, cellKey: number, fromMs: number): void {
    const key = `${board} ${cellKey}`;
    if (fromMs >= (marked.get(key) ?? Number.POSITIVE_INFINITY)) return;
    put.run(board, cellKey, fromMs);
    marked.set(key, fromMs);
    mayHaveMarks = true;
  }

  return {
    /** To be called before the weights of a pack are written. */
    learn: newest.learn,
    /** To be called in the transaction that wrote them. */
    note({ board, cells, others }: Brought): void {
      const boardMs = newest.ofBoard(board);
      for (const [cellKey, { fromMs, untilMs }] of cells) {
        if (fromMs <= newest.ofCell(cellKey)) mark(board, cellKey, fromMs);
        newest.heard(board, cellKey, untilMs);
      }
      if (others !== undefined && others.fromMs <= boardMs) mark(board, allCells, others.fromMs);
    },
    list(): LateMark[] {
      const rows = list.all() as { board: string; cellKey: number; fromMs: number }[];
      return rows.map(({ cellKey, ...row }) => ({
        ...row,
        cellKey: cellKey === allCells ? undefined : cellKey,
      }));
    },
    /** All that is stored was gone through. */
    clear(): void {
      if (!mayHaveMarks) return;
      remove.run();
      marked.clear();
      mayHaveMarks = false;
    },
    /** A transaction was undone: what is remembered of it is not so. */
    undone(): void {
      newest.forget();
      marked.clear();
      mayHaveMarks = true;
    },
  };
}

/** Time of the newest weight of each cell and board, read once and kept up. */
function createNewest(sqlite: Sqlite) {
  const ofCell = sqlite.prepare("SELECT max(at_ms) FROM reading WHERE cell_key = ?").pluck();
  const ofBoard = sqlite
    .prepare(
      `SELECT max((SELECT max(at_ms) FROM reading WHERE cell_key = cell.key)) FROM cell
        WHERE board = ?`,
    )
    .pluck();
  const cells = new Map<number, number>();
  const boards = new Map<string, number>();
  const none = Number.NEGATIVE_INFINITY;
  return {
    learn(board: string, cellKey: number): void {
      if (!boards.has(board)) boards.set(board, (ofBoard.get(board) as number | null) ?? none);
      if (!cells.has(cellKey)) cells.set(cellKey, (ofCell.get(cellKey) as number | null) ?? none);
    },
    ofCell: (cellKey: number) => cells.get(cellKey) ?? none,
    ofBoard: (board: string) => boards.get(board) ?? none,
    heard(board: string, cellKey: number, atMs: number): void {
      cells.set(cellKey, Math.max(atMs, cells.get(cellKey) ?? none));
      boards.set(board, Math.max(atMs, boards.get(board) ?? none));
    },
    forget(): void {
      cells.clear();
      boards.clear();
    },
  };
}
