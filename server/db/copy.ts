// Makes a consistent copy of a store, also while a server writes to it, and proves the copy sound.
import { chmodSync, closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from "node:fs";
import { dirname } from "node:path";
import { AppError } from "../../shared/errors.ts";
import { asStorageError } from "./open.ts";
import { requireSound, type SoundStore } from "./sound.ts";
import { openSqlite, type Sqlite } from "./sqlite.ts";

const allPages = 0x7fffffff;

/**
 * Copies a store by SQLite's online backup, checks the copy, and only then gives it its name.
 * All pages go in one step: a server that writes meanwhile neither waits nor is seen by half.
 * Throws AppError "not-found", "storage-damaged", "storage…"; then nothing of that name is there.
 */
export async function copyStore(fromFile: string, toFile: string): Promise<SoundStore> {
  const unfinished = `${toFile}.part`;
  removeStoreFile(unfinished);
  try {
    closeSync(openSync(unfinished, "wx", 0o600));
    const source = openExisting(fromFile);
    try {
      await source.backup(unfinished, { progress: () => allPages });
    } finally {
      source.close();
    }
    const sound = settleCopy(unfinished);
    renameSync(unfinished, toFile);
    syncFolder(dirname(toFile));
    return sound;
  } catch (cause) {
    removeStoreFile(unfinished);
    throw storageProblem(cause, toFile);
  }
}

/** One file that needs no other beside it, on the disk before it is believed. */
function settleCopy(file: string): SoundStore {
  const copy = openSqlite(file);
  try {
    copy.pragma("journal_mode = DELETE");
    const sound = requireSound(copy);
    chmodSync(file, 0o600);
    return sound;
  } finally {
    copy.close();
    const descriptor = openSync(file, "r+");
    fsyncSync(descriptor);
    closeSync(descriptor);
  }
}

function openExisting(file: string): Sqlite {
  if (!existsSync(file)) {
    throw new AppError("not-found", `copying requires a store, got none at ${file}`);
  }
  return openSqlite(file, { readonly: true });
}

function storageProblem(cause: unknown, file: string): AppError {
  const code = (cause as { code?: string }).code ?? "";
  if (code === "ENOSPC") {
    return new AppError("storage-full", `copying requires free disk space, got none at ${file}`, {
      cause,
    });
  }
  if (["EACCES", "EROFS", "EPERM", "ENOENT"].includes(code)) {
    const text = `copying requires a folder that may be written, got ${code} at ${file}`;
    return new AppError("storage-read-only", text, { cause });
  }
  return asStorageError(cause, file);
}

/** A database file with those that SQLite puts beside it. */
export function removeStoreFile(file: string): void {
  for (const name of storeFiles(file)) rmSync(name, { force: true });
}

export function storeFiles(file: string): string[] {
  return [file, `${file}-wal`, `${file}-shm`, `${file}-journal`];
}

/** A rename is on the disk once its folder is. */
export function syncFolder(folder: string): void {
  const descriptor = openSync(folder, "r");
  fsyncSync(descriptor);
  closeSync(descriptor);
}
