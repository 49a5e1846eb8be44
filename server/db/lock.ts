// Lets one program at a time run on a data folder, and tells whether the last one ended as it should.
import { chmodSync, closeSync, existsSync, openSync, rmSync } from "node:fs";
import { join } from "node:path";
import { AppError } from "../../shared/errors.ts";
import { asStorageError } from "./open.ts";
import { openSqlite } from "./sqlite.ts";

export type StoreLock = {
  /** True when the program before was cut off while it had the store open. */
  wasCutOff: boolean;
  /** Marks the store as open; the mark outlives a program that is cut off. */
  markOpen(): void;
  /** Safe twice. With `isClosed` the store was closed as it should: nothing is to be checked. */
  release(isClosed: boolean): void;
};

/**
 * Holds the folder until `release` or the end of the process. The lock is one of the file system's,
 * taken by SQLite: nothing of it is left when the power fails.
 * Throws AppError "store-in-use" when another program holds it.
 */
export function lockStore(folder: string): StoreLock {
  const lock = openLock(join(folder, "brimful.lock"));
  const mark = join(folder, "brimful.running");
  return {
    wasCutOff: existsSync(mark),
    markOpen() {
      closeSync(openSync(mark, "w", 0o600));
    },
    release(isClosed) {
      if (!lock.open) return;
      if (isClosed) rmSync(mark, { force: true });
      lock.close();
    },
  };
}

function openLock(file: string) {
  const lock = openSqlite(file);
  try {
    chmodSync(file, 0o600);
    lock.pragma("busy_timeout = 0");
    lock.exec("BEGIN EXCLUSIVE");
    return lock;
  } catch (cause) {
    lock.close();
    if ((cause as { code?: string }).code !== "SQLITE_BUSY") throw asStorageError(cause, file);
    const text = `data folder requires to be free, got one that a running Brimful has open: ${file}`;
    throw new AppError("store-in-use", text, { cause });
  }
}
