// Puts a backup in the place of the store, after it is proved sound, and keeps what it replaces.
import { existsSync, linkSync, renameSync } from "node:fs";
import { AppError } from "../../shared/errors.ts";
import { copyStore, removeStoreFile, storeFiles, syncFolder } from "./copy.ts";
import { lockStore } from "./lock.ts";
import { listMigrations, migrate } from "./migrate.ts";
import { asStorageError, makeFolder, storeFile } from "./open.ts";
import { damaged, requireSound } from "./sound.ts";
import { openSqlite, type Sqlite } from "./sqlite.ts";

export type RestoreOrder = {
  /** The data folder. */
  folder: string;
  /** The backup. */
  file: string;
  nowMs: number;
};

export type Restored = {
  /** Where the store lies that was there before; undefined when there was none. */
  replaced: string | undefined;
  /** Layout of the backup, and of the store made of it. */
  fromVersion: number;
  version: number;
};

/**
 * Copies the backup beside the store, checks every page, brings it up to this version, and then
 * takes the store's place in one step. Whoever was signed in or revoked meanwhile is not let in
 * again by it. Until that step nothing is changed.
 * Throws AppError "store-in-use" while a server runs, "not-found", "storage-damaged",
 * "database-newer", "storage…".
 */
export async function restoreStore({ folder, file, nowMs }: RestoreOrder): Promise<Restored> {
  const store = storeFile(makeFolder(folder));
  const lock = lockStore(folder);
  let isDone = false;
  try {
    const next = `${store}.restoring`;
    const { version: fromVersion } = await copyStore(file, next);
    const version = bringUp({ next, store, file });
    const replaced = keepReplaced(store, nowMs);
    renameSync(next, store);
    syncFolder(folder);
    isDone = true;
    return { replaced, fromVersion, version };
  } finally {
    if (!isDone) removeStoreFile(`${store}.restoring`);
    lock.release(isDone);
  }
}

/** Migrates the copy and shuts the doors that were shut since; returns its version. */
function bringUp({ next, store, file }: Record<"next" | "store" | "file", string>): number {
  const copy = openSqlite(next);
  try {
    copy.pragma("foreign_keys = ON");
    // The backup itself stays as it is: there is nothing to back up once more.
    migrate(copy, listMigrations(), () => undefined);
    keepShut(copy, store);
    return requireSound(copy).version;
  } catch (cause) {
    // The copy is ours to write to: only its own header can forbid it.
    const isForbidden = (cause as { code?: string }).code?.startsWith("SQLITE_READONLY") === true;
    throw isForbidden ? damaged(file, (cause as Error).message) : asStorageError(cause, file);
  } finally {
    copy.close();
  }
}

/** Every session ends, and who is revoked in the store that is replaced stays revoked. */
function keepShut(copy: Sqlite, store: string): void {
  copy.exec("DELETE FROM session");
  const revoke = copy.prepare(
    `UPDATE credential SET revoked_ms = @revokedMs
     WHERE name = @name AND revoked_ms IS NULL AND created_ms <= @revokedMs`,
  );
  const revoked = "SELECT name, revoked_ms AS revokedMs FROM credential WHERE revoked_ms > 0";
  const end = copy.prepare("DELETE FROM viewing_link WHERE id = ?");
  const links = copy.prepare("SELECT id FROM viewing_link").pluck().all() as string[];
  withStore(store, (before) => {
    for (const row of before.prepare(revoked).all()) revoke.run(row);
    const stillIs = before.prepare("SELECT 1 FROM viewing_link WHERE id = ?");
    for (const id of links) if (stillIs.get(id) === undefined) end.run(id);
  });
}

/** A broken store can't be asked or tidied; it is the reason for most restoring. */
function withStore(store: string, use: (before: Sqlite) => void): void {
  if (!existsSync(store)) return;
  const before = openSqlite(store);
  try {
    use(before);
  } catch (cause) {
    if (!(cause as { code?: string }).code?.startsWith("SQLITE_")) throw cause;
  } finally {
    before.close();
  }
}

/** Gives the store a second name, so that there is one under its own until the new one takes over. */
function keepReplaced(store: string, nowMs: number): string | undefined {
  if (!existsSync(store)) return undefined;
  // Closing the last connection writes back what waits in the write-ahead log and removes it.
  withStore(store, (before) => before.pragma("wal_checkpoint(TRUNCATE)"));
  const time = new Date(nowMs).toISOString().slice(0, 19).replaceAll(":", "-");
  const replaced = `${store}.replaced-${time}Z`;
  if (existsSync(replaced)) {
    throw new AppError("conflict", `restoring requires a free name, got ${replaced} already there`);
  }
  linkSync(store, replaced);
  // What a broken store left beside it belongs to it, never to the one that takes its place.
  for (const beside of storeFiles(store).slice(1)) {
    if (existsSync(beside)) renameSync(beside, beside.replace(store, replaced));
  }
  return replaced;
}
