// Opens the store: one SQLite file, durable on commit, migrated, with an id of its own.
import { randomBytes } from "node:crypto";
import {
  chmodSync,
  closeSync,
  existsSync,
  mkdirSync,
  openSync,
  renameSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { AppError } from "../../shared/errors.ts";
import { listMigrations, migrate } from "./migrate.ts";
import { damaged, isDamage, requireSound } from "./sound.ts";
import { openSqlite, type Sqlite } from "./sqlite.ts";

/** The database's file in its folder. */
export function storeFile(folder: string): string {
  return join(folder, "brimful.db");
}

/**
 * Opens `brimful.db` in the folder (made if it isn't there), or a database in memory for tests.
 * Throws AppError: "native-module", "storage…", "database-newer".
 */
export function openStore(folder: string | ":memory:"): Sqlite {
  const file = folder === ":memory:" ? folder : storeFile(makeFolder(folder));
  if (file !== ":memory:") keepPrivate(file);
  const sqlite = openSqlite(file);
  try {
    sqlite.pragma("journal_mode = WAL");
    sqlite.pragma("synchronous = FULL");
    sqlite.pragma("foreign_keys = ON");
    sqlite.pragma("busy_timeout = 5000");
    sqlite.pragma("wal_autocheckpoint = 1000");
    migrate(sqlite, listMigrations(), (version) => backUp(sqlite, file, version));
    return sqlite;
  } catch (cause) {
    sqlite.close();
    throw asStorageError(cause, file);
  }
}

/** Throws AppError "storage-read-only". */
export function makeFolder(folder: string): string {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    return folder;
  } catch (cause) {
    throw new AppError("storage-read-only", `data folder requires write access, got ${folder}`, {
      cause,
    });
  }
}

/** Before the first byte, or AppError "storage-read-only": the files that SQLite puts beside it get the rights of this one. */
export function keepPrivate(file: string): void {
  try {
    closeSync(openSync(file, "a", 0o600));
    for (const name of [file, `${file}-wal`, `${file}-shm`]) {
      if (existsSync(name)) chmodSync(name, 0o600);
    }
  } catch (cause) {
    throw new AppError("storage-read-only", `database requires write access, got none at ${file}`, {
      cause,
    });
  }
}

/** A backup that was cut short, or that isn't sound, never gets the name of one. */
function backUp(sqlite: Sqlite, file: string, version: number): void {
  const target = `${file}.before-${version}`;
  if (file === ":memory:" || existsSync(target)) return;
  const unfinished = `${target}.part`;
  writeFileSync(unfinished, "", { mode: 0o600 });
  sqlite.prepare("VACUUM INTO ?").run(unfinished);
  const copy = openSqlite(unfinished);
  try {
    requireSound(copy);
  } finally {
    copy.close();
  }
  renameSync(unfinished, target);
}

/** Puts an SQLite failure into the words a person can act on. */
export function asStorageError(cause: unknown, file: string): AppError {
  if (cause instanceof AppError) return cause;
  if (isDamage(cause)) return damaged(file, (cause as Error).message);
  const code = (cause as { code?: string }).code ?? "";
  if (code === "SQLITE_FULL" || code === "SQLITE_IOERR_WRITE") {
    return new AppError("storage-full", `database requires free disk space, got none at ${file}`, {
      cause,
    });
  }
  if (code.startsWith("SQLITE_READONLY") || code === "SQLITE_CANTOPEN") {
    return new AppError(
      "storage-read-only",
      `database requires write access, got none at ${file}`,
      {
        cause,
      },
    );
  }
  return new AppError("storage", `database requires a sound file, got ${code} at ${file}`, {
    cause,
  });
}

/** The store's own id: boards notice by it that a backup or a new store answers. */
export function storeId(sqlite: Sqlite): string {
  const row = sqlite.prepare("SELECT value FROM setting WHERE name = 'store'").get() as
    | { value: string }
    | undefined;
  if (row) return JSON.parse(row.value) as string;
  const id = randomBytes(8).toString("hex");
  sqlite.prepare("INSERT INTO setting (name, value) VALUES ('store', ?)").run(JSON.stringify(id));
  return id;
}
