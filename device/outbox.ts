// The board's outbox on disk: numbered batches, kept until the server has them and longer.
import { randomBytes } from "node:crypto";
import { mkdirSync } from "node:fs";
import { AppError } from "../shared/errors.ts";
import { msPerDay } from "../shared/units.ts";
import { type FolderLock, lockFolder } from "./folder-lock.ts";
import type { Log } from "./log.ts";
import { formatLine, type KeptBatch } from "./outbox-line.ts";
import { type KeptNote, openSpool, readKeptNote, writeKeptNote } from "./outbox-notes.ts";
import { type Bounds, openShelf, type Shelf } from "./outbox-shelf.ts";
import { createSegmentWriter } from "./outbox-writer.ts";
import type { BatchBody } from "./pack.ts";

export type OutboxSettings = {
  folder: string;
  log: Log;
  newSpool?: () => string;
  bounds?: Partial<Bounds>;
  /** Batches held in memory while the disk takes none; the newest win. */
  memoryBatches?: number;
  retryMs?: number;
};

export type Outbox = {
  /** Named anew with each life of the outbox, so that its numbers can begin at 1. */
  readonly spool: string;
  /** Takes a batch; its number is given once it is on disk. */
  append(body: BatchBody): void;
  /** Number of the newest batch on disk; 0 before the first. */
  last(): number;
  /** Batches that wait in memory for the disk. */
  waiting(): number;
  untilMs(): number | undefined;
  /** The first sound batch from this number on; numbers passed over are to be given up. */
  next(from: number): KeptBatch | undefined;
  kept(): KeptNote;
  noteKept(kept: { store: string; through: number }): void;
  /** Called after each group that reached the disk. */
  onMade(listener: () => void): void;
  /** Settles when nothing is being written; batches may still wait when the disk takes none. */
  idle(): Promise<void>;
  close(): Promise<void>;
};

const defaultBounds: Bounds = {
  maxAgeMs: 14 * msPerDay,
  maxBytes: 200_000_000,
  segmentBytes: 2_000_000,
};
const batchesPerWrite = 64;

/** Throws AppError when the folder can be neither made nor read, or another program uses it. */
export function openOutbox(settings: OutboxSettings): Outbox {
  const { folder, log } = settings;
  const { spool, shelf, lock } = openFolder(settings);
  const queue = createQueue(settings.memoryBatches ?? 2_000);
  const keptNote = createKeptNote({ folder, spool, log });
  const listeners: (() => void)[] = [];
  shelf.passOver(keptNote.read().through);
  const writing = createWriting({
    queue,
    fault: createFault(log, folder),
    retryMs: settings.retryMs ?? 5_000,
    write: createGroupWrite({ shelf, log, through: () => keptNote.read().through }),
    made: () => {
      for (const listener of listeners) listener();
    },
  });
  return {
    spool,
    append(body) {
      queue.add(body);
      writing.wake();
    },
    last: () => shelf.last(),
    waiting: () => queue.size(),
    untilMs: () => shelf.untilMs(),
    next: (from) => shelf.next(from),
    kept: () => keptNote.read(),
    noteKept(kept) {
      shelf.passOver(kept.through);
      keptNote.write(kept);
    },
    onMade: (listener) => listeners.push(listener),
    idle: () => writing.idle(),
    async close() {
      await writing.stop();
      await keptNote.settled();
      lock.release();
    },
  };
}

type GroupWrite = { write(group: readonly BatchBody[]): Promise<void>; close(): Promise<void> };

function createGroupWrite(parts: { shelf: Shelf; log: Log; through: () => number }): GroupWrite {
  const { shelf, log, through } = parts;
  const writer = createSegmentWriter();
  const tidy = createTidying({ shelf, log, through });
  return {
    async write(group) {
      const newestMs = Math.max(...group.map(({ untilMs }) => untilMs));
      const segment = shelf.segmentForNext(group[0]?.untilMs ?? newestMs);
      const lines = group.map((body, at) => formatLine(shelf.last() + 1 + at, body));
      const places = await writer.write(segment, lines);
      shelf.added(segment, places, newestMs);
      tidy();
    },
    close: () => writer.close(),
  };
}

/**
 * Holds the bounds after each write. What fails there is tried again after the next one: the batches
 * are on the disk, and writing them once more would double them.
 */
function createTidying({ shelf, log, through }: Parameters<typeof createGroupWrite>[0]) {
  let told: string | undefined;
  return () => {
    try {
      const { thinned, dropped } = shelf.prune(through());
      told = undefined;
      if (thinned > 0) log.warn("old unsent batches thinned", { batches: thinned });
      if (dropped > 0) {
        log.warn("unsent batches dropped beyond the outbox's bounds", { batches: dropped });
      }
    } catch (error) {
      const problem = String(error);
      if (told !== problem) log.warn("outbox cannot drop old batches", { problem });
      told = problem;
    }
  };
}

type Queue = ReturnType<typeof createQueue>;

/** Writes group after group while there are any; after a failure it tries again by and by. */
function createWriting(parts: {
  queue: Queue;
  fault: ReturnType<typeof createFault>;
  retryMs: number;
  write: GroupWrite;
  made: () => void;
}) {
  const { queue, fault } = parts;
  let writing: Promise<void> | undefined;
  let retry: NodeJS.Timeout | undefined;
  let stopped = false;

  async function writeAll(): Promise<void> {
    try {
      while (queue.size() > 0) {
        await parts.write.write(queue.take(batchesPerWrite));
        queue.done();
        fault.mended(queue.takeLost());
        parts.made();
      }
    } catch (error) {
      queue.putBack();
      fault.report(error);
      if (!stopped) retry = setTimeout(again, parts.retryMs).unref();
    }
  }
  function again(): void {
    retry = undefined;
    wake();
  }
  function wake(): void {
    if (stopped || retry !== undefined || writing !== undefined) return;
    writing = writeAll().finally(() => {
      writing = undefined;
      if (queue.size() > 0) wake();
    });
  }
  return {
    wake,
    idle: async () => {
      while (writing !== undefined) await writing;
    },
    async stop() {
      stopped = true;
      clearTimeout(retry);
      await writing;
      if (queue.size() > 0) await writeAll();
      await parts.write.close();
    },
  };
}

function openFolder({ folder, newSpool, bounds }: OutboxSettings) {
  let lock: FolderLock | undefined;
  try {
    mkdirSync(folder, { recursive: true });
    lock = lockFolder(folder);
    const spool = openSpool(folder, newSpool ?? (() => randomBytes(8).toString("hex")));
    return { spool, shelf: openShelf(folder, { ...defaultBounds, ...bounds }), lock };
  } catch (error) {
    lock?.release();
    if (error instanceof AppError) throw error;
    throw new AppError(codeFrom(error), outboxProblem(folder, error), { cause: error });
  }
}

function codeFrom(error: unknown) {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOSPC" || code === "EDQUOT") return "storage-full";
  return code === "EROFS" || code === "EACCES" || code === "EPERM"
    ? "storage-read-only"
    : "storage";
}

function outboxProblem(folder: string, error: unknown): string {
  const got = error instanceof Error ? error.message : String(error);
  const code = codeFrom(error);
  if (code === "storage-full")
    return `the outbox in ${folder} requires free space on its disk, got none`;
  if (code === "storage-read-only")
    return `the outbox in ${folder} requires a folder it may write to, got ${got}`;
  return `the outbox in ${folder} requires a folder that can be used, got ${got}`;
}

/** Batches on their way to the disk, bounded: the oldest give way. */
function createQueue(most: number) {
  let group: BatchBody[] = [];
  let bodies: BatchBody[] = [];
  let lost = 0;
  const trim = () => {
    const tooMany = Math.max(0, bodies.length - most);
    bodies.splice(0, tooMany);
    lost += tooMany;
  };
  return {
    size: () => group.length + bodies.length,
    add(body: BatchBody) {
      bodies.push(body);
      trim();
    },
    take(count: number): BatchBody[] {
      group = bodies.splice(0, count);
      return group;
    },
    done() {
      group = [];
    },
    putBack() {
      bodies = [...group, ...bodies];
      group = [];
      trim();
    },
    takeLost(): number {
      const count = lost;
      lost = 0;
      return count;
    },
  };
}

/** Says once that the disk takes nothing, and once that it does again. */
function createFault(log: Log, folder: string) {
  let told: string | undefined;
  return {
    report(error: unknown) {
      const problem = outboxProblem(folder, error);
      if (told === problem) return;
      told = problem;
      log.error("outbox cannot write: what is on disk stays, the newest readings wait in memory", {
        problem,
      });
    },
    mended(lostBatches: number) {
      if (told === undefined) return;
      told = undefined;
      log.info("outbox writes again", { lostBatches });
    },
  };
}

/** What the server said it keeps; written behind, as losing it only means sending again. */
function createKeptNote({ folder, spool, log }: { folder: string; spool: string; log: Log }) {
  let note = readKeptNote(folder, spool);
  let wanted: { store: string; through: number } | undefined;
  let writing: Promise<void> | undefined;
  async function writeLatest(): Promise<void> {
    while (wanted !== undefined) {
      const latest = wanted;
      wanted = undefined;
      await writeKeptNote(folder, { spool, ...latest }).catch((error: unknown) =>
        log.debug("kept note not written", { problem: String(error) }),
      );
    }
    writing = undefined;
  }
  return {
    read: (): KeptNote => note,
    write(kept: { store: string; through: number }) {
      note = kept;
      wanted = kept;
      writing ??= writeLatest();
    },
    settled: async () => writing,
  };
}
