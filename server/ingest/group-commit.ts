// Puts all that waits in one turn of the event loop into one durable transaction and answers after its commit.
import { AppError } from "../../shared/errors.ts";
import { asStorageError } from "../db/open.ts";
import type { Sqlite } from "../db/sqlite.ts";

type Job<T> = {
  write(): T;
  resolve(outcome: T): void;
  reject(error: unknown): void;
};

export type GroupCommit<T> = {
  /**
   * Runs `write` in the next transaction; resolves after the commit. A write that throws spoils only
   * itself. Rejects with AppError "storage…" when the store failed: then nothing was kept.
   */
  run(write: () => T): Promise<T>;
  /** How many writes wait. */
  waiting(): number;
  /** Commits now what waits, and takes no more. */
  stop(): void;
};

export type GroupCommitParts<T> = {
  sqlite: Sqlite;
  /** Called after each commit, with what it brought. */
  onCommit(outcomes: T[]): void;
  onRollback(): void;
};

// At about 4 us a row, 400 packs of ten readings hold the event loop for some 20 ms.
const mostTogether = 400;

export function createGroupCommit<T>(parts: GroupCommitParts<T>): GroupCommit<T> {
  const waiting: Job<T>[] = [];
  const commit = createCommit(parts);
  let isScheduled = false;
  let isStopped = false;

  function commitWaiting(): void {
    isScheduled = false;
    if (waiting.length > 0) commit(waiting.splice(0, mostTogether));
    if (waiting.length > 0) schedule();
  }

  function schedule(): void {
    if (isScheduled) return;
    isScheduled = true;
    setImmediate(commitWaiting);
  }

  return {
    run(write) {
      if (isStopped) return Promise.reject(new AppError("storage", "store requires to be open"));
      return new Promise((resolve, reject) => {
        waiting.push({ write, resolve, reject });
        schedule();
      });
    },
    waiting: () => waiting.length,
    stop() {
      isStopped = true;
      while (waiting.length > 0) commit(waiting.splice(0, mostTogether));
    },
  };
}

function createCommit<T>(parts: GroupCommitParts<T>): (jobs: Job<T>[]) => void {
  const inTransaction = parts.sqlite.transaction((jobs: Job<T>[]) =>
    jobs.map((job) => job.write()),
  ).immediate;

  function attempt(jobs: Job<T>[]): { error: unknown } | undefined {
    try {
      const outcomes = inTransaction(jobs) as T[];
      for (const [index, job] of jobs.entries()) job.resolve(outcomes[index] as T);
      queueMicrotask(() => parts.onCommit(outcomes));
      return undefined;
    } catch (error) {
      parts.onRollback();
      return { error };
    }
  }

  return (jobs) => {
    const failed = attempt(jobs);
    if (failed === undefined) return;
    if (isStoreFailure(failed.error)) {
      const failure = asStorageError(failed.error, parts.sqlite.name);
      for (const job of jobs) job.reject(failure);
      return;
    }
    // One write of the group threw: each gets a transaction of its own, so that it spoils no other.
    for (const job of jobs) {
      const alone = attempt([job]);
      if (alone !== undefined) job.reject(alone.error);
    }
  };
}

/** The store itself failed (disk full, read-only, locked), not the row that was to be written. */
export function isStoreFailure(error: unknown): boolean {
  if (error instanceof AppError) return error.code.startsWith("storage");
  const code = (error as { code?: unknown } | null)?.code;
  return (
    typeof code === "string" && code.startsWith("SQLITE_") && !code.startsWith("SQLITE_CONSTRAINT")
  );
}
