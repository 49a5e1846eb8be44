// Remembers which boards, cells and probes were ever heard, and whether a board is there now.
import type { Presence } from "../../shared/wire/topics.ts";
import type { Sqlite, SqliteStatement } from "./sqlite.ts";

export type StoredBoard = {
  name: string;
  program: string | null;
  online: boolean;
  firstHeardMs: number;
  lastHeardMs: number;
};
/** A cell or a probe. */
export type Sensor = { key: number; board: string; name: string; firstHeardMs: number };

export type Boards = ReturnType<typeof createBoards>;

/**
 * More than any yard hangs, few enough that looking through all of them stays quick: what talks
 * beyond it is broken or means harm.
 */
export const most = { boards: 500, sensorsOfBoard: 256 };

export function createBoards(sqlite: Sqlite) {
  const cells = createSensors(sqlite, "cell");
  const probes = createSensors(sqlite, "probe");
  return {
    ...createBoardRows(sqlite),
    /** The key of a cell, made when it is heard for the first time; its board must be there. */
    cellKey: cells.keyOf,
    probeKey: probes.keyOf,
    /** Whether a cell is known, or may be made. */
    hasCellRoom: cells.hasRoom,
    hasProbeRoom: probes.hasRoom,
    listCells: cells.list,
    listProbes: probes.list,
    findCell: cells.find,
    findProbe: probes.find,
    /** After a rolled back transaction the keys made in it are gone. */
    forgetKeys(): void {
      cells.forget();
      probes.forget();
    },
  };
}

function createBoardRows(sqlite: Sqlite) {
  const hear = sqlite.prepare(
    `INSERT INTO board (name, online, first_heard_ms, last_heard_ms) VALUES (?, 0, ?, ?)
     ON CONFLICT (name) DO UPDATE SET put_away = 0, last_heard_ms = max(last_heard_ms, excluded.last_heard_ms)`,
  );
  const leave = sqlite.prepare("UPDATE board SET put_away = 1 WHERE name = ? AND online = 0");
  const isPutAway = sqlite.prepare("SELECT put_away FROM board WHERE name = ?").pluck();
  const present = sqlite.prepare(
    "UPDATE board SET online = ?, program = coalesce(?, program) WHERE name = ?",
  );
  const offline = sqlite.prepare("UPDATE board SET online = 0 WHERE online = 1");
  const lastHeard = sqlite.prepare("SELECT last_heard_ms FROM board WHERE name = ?").pluck();
  const isKnown = sqlite.prepare("SELECT 1 FROM board WHERE name = ?").pluck();
  const count = sqlite.prepare("SELECT count(*) FROM board").pluck();
  const list = sqlite.prepare(
    `SELECT name, program, online, first_heard_ms AS firstHeardMs, last_heard_ms AS lastHeardMs
     FROM board WHERE put_away = 0 ORDER BY name`,
  );
  /** Whether a board is known, or may be made. */
  const hasBoardRoom = (name: string): boolean =>
    isKnown.get(name) !== undefined || (count.get() as number) < most.boards;
  return {
    heard(board: string, atMs: number): void {
      hear.run(board, atMs, atMs);
    },
    /** Of a board that is known, or may be made. */
    setPresence(board: string, presence: Presence, atMs: number): void {
      if (!hasBoardRoom(board)) return;
      // The last will of a board that was put away is heard at every start.
      if (!presence.online && isPutAway.get(board) === 1) return;
      hear.run(board, atMs, atMs);
      present.run(presence.online ? 1 : 0, presence.program ?? null, board);
    },
    /** At start nobody is known to be there. */
    setAllOffline(): void {
      offline.run();
    },
    hasBoardRoom,
    /** When a board last sent anything, by the server's clock. */
    lastHeardMs(board: string): number | undefined {
      return lastHeard.get(board) as number | undefined;
    },
    /** False for a board that is there, or that nobody knows. */
    putAway: (board: string): boolean => leave.run(board).changes > 0,
    /** Without those that were put away. */
    listBoards(): StoredBoard[] {
      const rows = list.all() as (Omit<StoredBoard, "online"> & { online: number })[];
      return rows.map((row) => ({ ...row, online: row.online === 1 }));
    },
  };
}

function createSensors(sqlite: Sqlite, table: "cell" | "probe") {
  const columns = "key, board, name, first_heard_ms AS firstHeardMs";
  const find = sqlite.prepare(`SELECT ${columns} FROM ${table} WHERE board = ? AND name = ?`);
  const list = sqlite.prepare(`SELECT ${columns} FROM ${table} ORDER BY board, name`);
  const insert: SqliteStatement = sqlite.prepare(
    `INSERT INTO ${table} (board, name, first_heard_ms) VALUES (?, ?, ?)`,
  );
  const countOf = sqlite.prepare(`SELECT count(*) FROM ${table} WHERE board = ?`).pluck();
  const keys = new Map<string, number>();
  const findSensor = (board: string, name: string) => find.get(board, name) as Sensor | undefined;
  return {
    keyOf({ board, name, atMs }: { board: string; name: string; atMs: number }): number {
      const id = `${board}/${name}`;
      const known = keys.get(id) ?? findSensor(board, name)?.key;
      const key = known ?? Number(insert.run(board, name, atMs).lastInsertRowid);
      keys.set(id, key);
      return key;
    },
    hasRoom(board: string, name: string): boolean {
      if (keys.has(`${board}/${name}`) || findSensor(board, name) !== undefined) return true;
      return (countOf.get(board) as number) < most.sensorsOfBoard;
    },
    find: findSensor,
    list: () => list.all() as Sensor[],
    forget: () => keys.clear(),
  };
}
