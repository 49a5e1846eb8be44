// A real store with all that ingest needs around it, in memory or in a folder, on a clock the test sets.
import { createBoards } from "../../server/db/boards.ts";
import { createCredentials } from "../../server/db/credentials.ts";
import { createLateStore } from "../../server/db/late.ts";
import { openStore, storeId } from "../../server/db/open.ts";
import { createReadings } from "../../server/db/readings.ts";
import { createRejected } from "../../server/db/rejected.ts";
import { createSettings } from "../../server/db/settings.ts";
import { createSpools } from "../../server/db/spools.ts";
import { createIntake } from "../../server/ingest/intake.ts";
import type { Log, LogFields } from "../../server/log.ts";
import type { Committed } from "../../server/watch/watch.ts";
import type { Kept } from "../../shared/wire/topics.ts";

/** 2026-03-14T15:00:00Z */
export const startMs = Date.UTC(2026, 2, 14, 15);

export function createTestClock() {
  let nowMs = startMs;
  return {
    speed: 1,
    nowMs: () => nowMs,
    advance(byMs: number) {
      nowMs += byMs;
    },
    set(toMs: number) {
      nowMs = toMs;
    },
  };
}

export type Line = { level: string; event: string; fields: LogFields };

export function createTestLog(): Log & { lines: Line[] } {
  const lines: Line[] = [];
  const write =
    (level: string) =>
    (event: string, fields: LogFields = {}) => {
      lines.push({ level, event, fields });
    };
  return {
    lines,
    debug: write("debug"),
    info: write("info"),
    warn: write("warn"),
    error: write("error"),
  };
}

export function openRig(folder = ":memory:") {
  const sqlite = openStore(folder);
  const clock = createTestClock();
  const log = createTestLog();
  const committed: Committed[][] = [];
  const kept: { board: string; kept: Kept }[] = [];
  const present: string[] = [];
  const keptListeners: ((board: string, kept: Kept) => void)[] = [];
  const parts = {
    sqlite,
    storeId: storeId(sqlite),
    readings: createReadings(sqlite),
    boards: createBoards(sqlite),
    spools: createSpools(sqlite),
    late: createLateStore(sqlite),
    rejected: createRejected(sqlite),
    credentials: createCredentials(sqlite),
    settings: createSettings(sqlite),
    clock,
    log,
  };
  const intake = createIntake({
    ...parts,
    onCommitted: (batch) => committed.push(batch),
    onPresence: (board) => present.push(board),
    publishKept: (board, note) => {
      kept.push({ board, kept: note });
      for (const listener of keptListeners) listener(board, note);
    },
  });
  const onKept = (listener: (board: string, kept: Kept) => void) => keptListeners.push(listener);
  return { ...parts, intake, committed, kept, present, onKept };
}

export type Rig = ReturnType<typeof openRig>;

/** A pack of `hill` with one mass a second from `atMs` on. */
export function packText({
  board = "hill",
  batch,
  spool = "a1",
  skipped,
  massesKg = [7.3],
  atMs = startMs,
  cell = "cell-1",
}: {
  board?: string;
  batch?: number;
  spool?: string;
  skipped?: number;
  massesKg?: number[];
  atMs?: number;
  cell?: string;
}): string {
  const numbering =
    batch === undefined
      ? []
      : [
          { n: "batch", u: "count", v: batch },
          { n: "spool", vs: spool },
        ];
  const given = skipped === undefined ? [] : [{ n: "skipped", u: "count", v: skipped }];
  return JSON.stringify([
    { bn: `${board}/`, bt: atMs / 1000 },
    ...numbering,
    ...given,
    ...massesKg.map((v, index) => ({ n: `${cell}/mass`, u: "kg", t: index, v })),
  ]);
}
