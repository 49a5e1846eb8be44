// Loads the SQLite driver that fits this Node, or says in one line how to mend it.
import { createRequire } from "node:module";
import type Database from "better-sqlite3";
import { AppError } from "../../shared/errors.ts";

/** An interface, so that types inferred from it can be named in other files. */
export interface Sqlite extends Database.Database {}
export type SqliteStatement = Database.Statement;

/** better-sqlite3 13 needs Node 22; 12 aborts on newer Node headers. Hence one for each. */
export function driverName(nodeVersion: string): "better-sqlite3" | "better-sqlite3-13" {
  return Number(nodeVersion.split(".")[0]) >= 22 ? "better-sqlite3-13" : "better-sqlite3";
}

/**
 * Opens a database file (or ":memory:").
 * Throws AppError "native-module" when the driver is missing or was not built,
 * "storage" when the file can't be opened.
 */
export function openSqlite(path: string, options: { readonly?: boolean } = {}): Sqlite {
  const Driver = loadDriver();
  try {
    return new Driver(path, options);
  } catch (cause) {
    if (cause instanceof Error && /bindings|\.node|NODE_MODULE_VERSION/.test(cause.message)) {
      throw notBuilt(cause);
    }
    throw new AppError("storage", `database requires a readable and writable file, got ${path}`, {
      cause,
    });
  }
}

function loadDriver(): typeof Database {
  try {
    return createRequire(import.meta.url)(driverName(process.versions.node));
  } catch (cause) {
    throw notBuilt(cause);
  }
}

function notBuilt(cause: unknown): AppError {
  const name = driverName(process.versions.node);
  const tools = "python3, make and g++ (Debian: sudo apt install python3 make g++)";
  const mend =
    name === "better-sqlite3"
      ? `npm ci && npm rebuild better-sqlite3, which needs ${tools}`
      : `npm ci --include=optional; where no ready-made binary exists it needs ${tools}`;
  return new AppError("native-module", `SQLite driver ${name} isn't built; run: ${mend}`, {
    cause,
  });
}
