// Opens the store for a command that may run beside the server.
import { existsSync } from "node:fs";
import { lockStore } from "./lock.ts";
import { listMigrations } from "./migrate.ts";
import { makeFolder, openStore, storeFile } from "./open.ts";
import { openSqlite, type Sqlite } from "./sqlite.ts";

/**
 * As `openStore`, but a store of an earlier version is brought up only while no server runs on it:
 * an older one would go on with a layout that it doesn't know.
 * Throws AppError: "store-in-use" then, and what `openStore` throws.
 */
export function openStoreBeside(folder: string): Sqlite {
  if (!isBehind(storeFile(makeFolder(folder)))) return openStore(folder);
  const lock = lockStore(folder);
  try {
    return openStore(folder);
  } finally {
    lock.release(false);
  }
}

function isBehind(file: string): boolean {
  if (!existsSync(file)) return true;
  const sqlite = openSqlite(file);
  try {
    const version = sqlite.pragma("user_version", { simple: true }) as number;
    return version < (listMigrations().at(-1)?.version ?? 0);
  } finally {
    sqlite.close();
  }
}
