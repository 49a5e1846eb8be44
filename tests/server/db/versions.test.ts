// Tests that a database of every earlier version opens, with what it held and a sound copy of it beside.
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { openStoreBeside } from "../../../server/db/beside.ts";
import { lockStore } from "../../../server/db/lock.ts";
import { listMigrations, migrate } from "../../../server/db/migrate.ts";
import { openStore } from "../../../server/db/open.ts";
import { requireSound } from "../../../server/db/sound.ts";
import { openSqlite, type Sqlite } from "../../../server/db/sqlite.ts";

const dump = readFileSync(new URL("../../fixtures/store-1.sql", import.meta.url), "utf8");
const migrations = listMigrations();
const latest = migrations.at(-1)?.version ?? 0;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-versions-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** All but checkpoints and events, which are made again from the readings. */
const tables = ["reading", "temperature", "fault", "board_value", "spool", "batch_ahead"].concat(
  ["rejected", "tree", "tap", "bucket", "hanging", "hanging_tap", "gathering", "ten_minute"],
  ["day", "alarm", "forecast_hour", "setting", "credential"],
);
const countsOf = (sqlite: Sqlite) =>
  Object.fromEntries(
    tables.map((name) => [name, sqlite.prepare(`SELECT count(*) FROM ${name}`).pluck().get()]),
  );

/** A store as the first version left it, taken to `version` by the migrations in between. */
function storeOfVersion(version: number): Record<string, unknown> {
  const sqlite = openSqlite(join(folder, "brimful.db"));
  sqlite.exec(dump);
  sqlite.pragma("user_version = 1");
  const until = migrations.filter((migration) => migration.version <= version);
  migrate(sqlite, until, () => undefined);
  const counts = countsOf(sqlite);
  sqlite.close();
  return counts;
}

it.each(migrations.map(({ version }) => version))(
  "a store of version %i opens, nothing of it missing",
  (version) => {
    const counts = storeOfVersion(version);
    for (const [table, count] of Object.entries(counts)) expect(count, table).toBeGreaterThan(0);
    const sqlite = openStore(folder);
    expect(countsOf(sqlite)).toEqual(counts);
    expect(requireSound(sqlite)).toEqual({ version: latest, storeId: "0011223344556677" });
    expect(sqlite.pragma("foreign_key_check")).toEqual([]);
    sqlite.close();
    const before = join(folder, `brimful.db.before-${version}`);
    expect(existsSync(before)).toBe(version < latest);
    if (version === latest) return;
    expect(statSync(before).mode & 0o777).toBe(0o600);
    const copy = openSqlite(before);
    expect(requireSound(copy).version).toBe(version);
    expect(countsOf(copy)).toEqual(counts);
    copy.close();
  },
);

it("the first version's tables are still made as they were", () => {
  const tablesOf = (sqlite: Sqlite) =>
    sqlite.prepare("SELECT type, name, sql FROM sqlite_schema ORDER BY type, name").all();
  const made = openSqlite(":memory:");
  migrate(made, migrations.slice(0, 1), () => undefined);
  const dumped = openSqlite(":memory:");
  dumped.exec(dump);
  expect(tablesOf(dumped)).toEqual(tablesOf(made));
});

it("a copy that was cut short before a migration is made anew", () => {
  storeOfVersion(1);
  if (latest === 1) return;
  writeFileSync(join(folder, "brimful.db.before-1.part"), "cut short");
  openStore(folder).close();
  const copy = openSqlite(join(folder, "brimful.db.before-1"));
  expect(requireSound(copy).version).toBe(1);
  copy.close();
});

it("a store of a later version is refused and left as it is", () => {
  storeOfVersion(1);
  const file = join(folder, "brimful.db");
  const later = openSqlite(file);
  later.pragma("user_version = 9999");
  later.close();
  expect(() => openStore(folder)).toThrow(/requires Brimful with database version 9999 or later/);
  const after = openSqlite(file);
  expect(after.pragma("user_version", { simple: true })).toBe(9999);
  expect(countsOf(after)["reading"]).toBeGreaterThan(0);
  after.close();
});

it("a command brings no store up while a server has it open, and may use one that is up", () => {
  const counts = storeOfVersion(1);
  const server = lockStore(folder);
  expect(() => openStoreBeside(folder)).toThrow(/got one that a running Brimful has open/);
  const untouched = openSqlite(join(folder, "brimful.db"));
  expect(untouched.pragma("user_version", { simple: true })).toBe(1);
  untouched.close();
  server.release(true);
  const alone = openStoreBeside(folder);
  expect(countsOf(alone)).toEqual(counts);
  alone.close();
  const again = lockStore(folder);
  openStoreBeside(folder).close();
  again.release(true);
});
