// Brings a database up to this version, one numbered file at a time, with a backup first.
import { readdirSync, readFileSync } from "node:fs";
import { AppError } from "../../shared/errors.ts";
import type { Sqlite } from "./sqlite.ts";

type Migration = { version: number; name: string; sql: string };

/** The numbered SQL files; beside this file in the sources and beside the bundle once built. */
export function listMigrations(folder = new URL("./migrations/", import.meta.url)): Migration[] {
  return readdirSync(folder)
    .filter((name) => /^\d{4}-.*\.sql$/.test(name))
    .sort()
    .map((name) => ({
      version: Number(name.slice(0, 4)),
      name,
      sql: readFileSync(new URL(name, folder), "utf8"),
    }));
}

/**
 * Applies what is missing, each migration with its version in one transaction.
 * Throws AppError "database-newer" when the database comes from a later version of the program.
 */
export function migrate(
  sqlite: Sqlite,
  migrations: Migration[],
  backup: (fromVersion: number) => void,
): void {
  const current = sqlite.pragma("user_version", { simple: true }) as number;
  const latest = migrations.at(-1)?.version ?? 0;
  if (current > latest) {
    throw new AppError(
      "database-newer",
      `database requires Brimful with database version ${current} or later, got ${latest}`,
    );
  }
  const missing = migrations.filter((migration) => migration.version > current);
  if (missing.length > 0 && current > 0) backup(current);
  for (const migration of missing) {
    sqlite.transaction(() => {
      sqlite.exec(migration.sql);
      sqlite.pragma(`user_version = ${migration.version}`);
    })();
  }
}
