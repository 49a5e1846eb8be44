// What was made, kept apart from the boards and the store, and how the store compares with it.
import { openSqlite } from "../../server/db/sqlite.ts";
import { cellName, massDg, type Plan, turnOf } from "./marked-reading.ts";
import type { PublisherReport } from "./publisher.ts";

export type BoardState = { last: number; through: number; waiting: number };

export type Ledger = {
  hear(report: PublisherReport, life: number): void;
  /** Readings that a board said were on its disk. */
  made(): number;
  /** Whether every board said that the server keeps all it has. */
  isSettled(): boolean;
  /** Before waiting for that: what was said before doesn't count. */
  forgetStates(): void;
  /** Newest batch of a board that was surely on its disk; 0 before the first. */
  safeBatch(board: string): number;
  compare(storeFile: string): Comparison;
};

export type Comparison = {
  made: number;
  stored: number;
  /** Made, and neither in the store nor still to be sent. */
  lost: number;
  /** In the store, but never made, or not as it was made. */
  doubled: number;
  /** On a board's disk once, and not there any more when it was opened again. */
  lostByOutbox: number;
  /** Batches that found room neither on the disk nor in memory, as counted by the board. */
  givenUp: number;
};

type BoardLedger = {
  /** Which life of the board made a turn. */
  lives: Map<number, number>;
  newestTurn: number;
  /** Of the present life. */
  firstTurn: number;
  /** Newest batch that was surely on the disk. */
  safeBatch: number;
  state: BoardState | undefined;
};

export function createLedger(plan: Plan): Ledger {
  const boards = new Map<string, BoardLedger>(plan.boards.map((board) => [board, newBoard()]));
  const sums = { lostByOutbox: 0, givenUp: 0 };
  const all = () => [...boards.values()];
  const made = () => plan.cells * all().reduce((sum, { lives }) => sum + lives.size, 0);
  return {
    hear(report, life) {
      const board = boards.get(report.board);
      if (board === undefined) throw new Error(`no board ${report.board} is in the plan`);
      switch (report.kind) {
        case "begun":
          sums.lostByOutbox += begin(board, report, life) * plan.cells;
          return;
        case "made":
          for (const turn of report.turns) add(board, turn, life);
          board.safeBatch = report.last;
          return;
        case "given up":
          sums.givenUp += report.batches;
          return;
        case "state":
          board.state = report;
      }
    },
    made,
    isSettled: () =>
      all().every(({ state }) => state?.waiting === 0 && state.through === state.last),
    forgetStates() {
      for (const board of all()) board.state = undefined;
    },
    safeBatch: (name) => boards.get(name)?.safeBatch ?? 0,
    compare: (storeFile) => ({ made: made(), ...sums, ...compare(plan, boards, storeFile) }),
  };
}

function newBoard(): BoardLedger {
  return { lives: new Map(), newestTurn: -1, firstTurn: 0, safeBatch: 0, state: undefined };
}

function add(board: BoardLedger, turn: number, life: number): void {
  board.lives.set(turn, life);
  board.newestTurn = Math.max(board.newestTurn, turn);
}

type Begun = Extract<PublisherReport, { kind: "begun" }>;

/** What the life before wrote but had no time to tell; returns how many turns the disk has lost. */
function begin(board: BoardLedger, { untilTurn, firstTurn }: Begun, life: number): number {
  const lost = Math.max(0, board.newestTurn - untilTurn);
  const from = Math.max(board.newestTurn + 1, board.firstTurn);
  for (let turn = from; turn <= untilTurn; turn += 1) add(board, turn, life - 1);
  board.firstTurn = firstTurn;
  return lost;
}

type Row = { board: string; cell: string; atMs: number; massDg: number };

function compare(plan: Plan, boards: ReadonlyMap<string, BoardLedger>, storeFile: string) {
  const cells = new Map(Array.from({ length: plan.cells }, (_, cell) => [cellName(cell), cell]));
  const sqlite = openSqlite(storeFile, { readonly: true });
  const rows = sqlite
    .prepare(
      `SELECT board, name AS cell, at_ms AS atMs, mass_dg AS massDg
       FROM reading JOIN cell ON cell.key = cell_key`,
    )
    .iterate() as IterableIterator<Row>;
  let found = 0;
  let doubled = 0;
  for (const { board, cell, atMs, massDg: storedDg } of rows) {
    const known = boards.get(board);
    if (known === undefined) continue;
    const turn = turnOf(plan, atMs);
    const life = known.lives.get(turn);
    const cellAt = cells.get(cell);
    const isMade = life !== undefined && cellAt !== undefined;
    if (isMade && storedDg === massDg({ turn, cell: cellAt, life })) found += 1;
    else doubled += 1;
  }
  sqlite.close();
  const made = plan.cells * [...boards.values()].reduce((sum, { lives }) => sum + lives.size, 0);
  return { stored: found, lost: made - found, doubled };
}
