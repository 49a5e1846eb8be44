// Tells whether a database file is whole, page by page, and a store of this program.
import { AppError } from "../../shared/errors.ts";
import { openSqlite, type Sqlite } from "./sqlite.ts";

const mostProblems = 5;

export type SoundStore = {
  /** Of the database's layout. */
  version: number;
  storeId: string;
};

/**
 * Looks at every page. Throws AppError "storage-damaged" with what SQLite found, also when the file
 * is a sound database but no store of this program.
 */
export function requireSound(sqlite: Sqlite): SoundStore {
  requireUndamaged(sqlite);
  const version = sqlite.pragma("user_version", { simple: true }) as number;
  const hasSettings = sqlite.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'setting'").get();
  const findId = "SELECT value FROM setting WHERE name = 'store'";
  const id = hasSettings === undefined ? undefined : sqlite.prepare(findId).pluck().get();
  if (version < 1 || typeof id !== "string") {
    throw damaged(sqlite.name, "none of Brimful's tables");
  }
  return { version, storeId: JSON.parse(id) as string };
}

/** The same for a store that may still be empty. */
export function requireUndamaged(sqlite: Sqlite): void {
  const found = damageOf(sqlite);
  if (found.length > 0) throw damaged(sqlite.name, found.join("; "));
}

/** Opens a file, with what was not yet written back to it, looks, and closes it again. */
export function requireUndamagedFile(file: string): void {
  const sqlite = openSqlite(file);
  try {
    requireUndamaged(sqlite);
  } finally {
    sqlite.close();
  }
}

function damageOf(sqlite: Sqlite): string[] {
  try {
    const rows = sqlite.pragma(`integrity_check(${mostProblems})`) as { integrity_check: string }[];
    return rows.map((row) => row.integrity_check).filter((text) => text !== "ok");
  } catch (cause) {
    if (!isDamage(cause)) throw cause;
    return [(cause as Error).message];
  }
}

/** True for what SQLite throws over a file that is broken or no database at all. */
export function isDamage(cause: unknown): boolean {
  const code = (cause as { code?: string } | null)?.code ?? "";
  return code.startsWith("SQLITE_CORRUPT") || code === "SQLITE_NOTADB";
}

export function damaged(file: string, found: string): AppError {
  const words = found.replaceAll(/\s+/g, " ").slice(0, 300);
  return new AppError("storage-damaged", `store requires a sound file, got "${words}" in ${file}`);
}
