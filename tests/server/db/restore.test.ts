// Tests copying a store while it is written to, restoring it, and that one program at a time has it open.
import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { copyStore } from "../../../server/db/copy.ts";
import { lockStore } from "../../../server/db/lock.ts";
import { listMigrations } from "../../../server/db/migrate.ts";
import { restoreStore } from "../../../server/db/restore.ts";
import { openSqlite } from "../../../server/db/sqlite.ts";
import { createStores, type Stores } from "../../../server/db/stores.ts";
import { openRig, packText, startMs } from "../../helpers/store-rig.ts";

let folder: string;
let data: string;
let backup: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-restore-"));
  data = join(folder, "data");
  backup = join(folder, "copy.db");
});
afterEach(() => rmSync(folder, { recursive: true }));

const latest = listMigrations().at(-1)?.version;
const store = () => join(data, "brimful.db");

function fill(stores: Stores, count: number, fromMs = startMs): void {
  const { boards, readings, sqlite } = stores;
  sqlite.transaction(() => {
    boards.heard("hill", startMs);
    const cellKey = boards.cellKey({ board: "hill", name: "cell-1", atMs: startMs });
    for (let index = 0; index < count; index++) {
      const atMs = fromMs + index * 1000;
      readings.insertReading({ cellKey, atMs, massG: 1000, spreadG: null, counts: null });
    }
  })();
}

function countIn(file: string): number {
  const sqlite = openSqlite(file, { readonly: true });
  const count = sqlite.prepare("SELECT count(*) FROM reading").pluck().get() as number;
  sqlite.close();
  return count;
}

/** Overwrites bytes well inside the file, page headers among them. */
function spoil(file: string): void {
  const bytes = readFileSync(file);
  bytes.fill(0x5a, 8192, 8192 + 20_000);
  writeFileSync(file, bytes);
}

it("a copy holds all that was committed, also what is not yet written back, and is one private file", async () => {
  const stores = createStores(data);
  fill(stores, 5000);
  expect(statSync(`${store()}-wal`).size).toBeGreaterThan(0);
  const sound = await copyStore(store(), backup);
  expect(sound).toEqual({ version: latest, storeId: stores.storeId });
  fill(stores, 10, startMs + 1e8);
  expect(countIn(backup)).toBe(5000);
  expect(countIn(store())).toBe(5010);
  stores.close();
  expect(statSync(backup).mode & 0o777).toBe(0o600);
  expect(readdirSync(folder).sort()).toEqual(["copy.db", "data"]);
});

it("a copy of a damaged store is never given a backup's name", async () => {
  const stores = createStores(data);
  fill(stores, 5000);
  stores.close();
  spoil(store());
  await expect(copyStore(store(), backup)).rejects.toMatchObject({ code: "storage-damaged" });
  expect(readdirSync(folder)).toEqual(["data"]);
  await expect(copyStore(join(folder, "none.db"), backup)).rejects.toThrow(/got none at/);
  await expect(copyStore(store(), join(folder, "no", "where.db"))).rejects.toMatchObject({
    code: "storage-read-only",
  });
});

it("restores an older state, keeps what it replaces, and the other way round", async () => {
  const stores = createStores(data);
  fill(stores, 100);
  await copyStore(store(), backup);
  fill(stores, 50, startMs + 1e8);
  stores.close();
  const first = await restoreStore({ folder: data, file: backup, nowMs: startMs });
  expect(first).toMatchObject({ fromVersion: latest, version: latest });
  expect(first.replaced).toBe(`${store()}.replaced-2026-03-14T15-00-00Z`);
  expect(countIn(store())).toBe(100);
  expect(countIn(first.replaced!)).toBe(150);
  const back = await restoreStore({ folder: data, file: first.replaced!, nowMs: startMs + 1000 });
  expect(countIn(store())).toBe(150);
  expect(countIn(back.replaced!)).toBe(100);
  const again = createStores(data);
  expect(again.storeId).toBe(stores.storeId);
  again.close();
});

it("refuses to restore while a server has the store open, and a second server too", async () => {
  const stores = createStores(data);
  await copyStore(store(), backup);
  const restoring = restoreStore({ folder: data, file: backup, nowMs: startMs });
  await expect(restoring).rejects.toMatchObject({ code: "store-in-use" });
  expect(() => createStores(data)).toThrow(/got one that a running Brimful has open/);
  expect(existsSync(`${store()}.restoring`)).toBe(false);
  stores.close();
  createStores(data).close();
});

it("what is no sound store, or of a later version, changes nothing", async () => {
  const stores = createStores(data);
  fill(stores, 5000);
  await copyStore(store(), backup);
  stores.close();
  const before = readFileSync(store());
  const tries: [string, (file: string) => void, string][] = [
    ["spoilt.db", spoil, "storage-damaged"],
    ["short.db", (file) => truncateSync(file, 30_000), "storage-damaged"],
    ["empty.db", (file) => truncateSync(file, 0), "storage-damaged"],
    ["text.db", (file) => writeFileSync(file, "not a database\n".repeat(500)), "storage-damaged"],
    ["later.db", (file) => setVersion(file, 9999), "database-newer"],
    ["other.db", (file) => setVersion(file, 0), "storage-damaged"],
    // "File format write version", byte 18 of the header: above 2 a file may be read only.
    ["header.db", (file) => setByte(file, 18, 3), "storage-damaged"],
  ];
  for (const [name, make, code] of tries) {
    const file = join(folder, name);
    copyFileSync(backup, file);
    make(file);
    const restoring = restoreStore({ folder: data, file, nowMs: startMs });
    await expect(restoring, name).rejects.toMatchObject({ code });
  }
  const missing = restoreStore({ folder: data, file: join(folder, "none.db"), nowMs: startMs });
  await expect(missing).rejects.toMatchObject({ code: "not-found" });
  expect(readFileSync(store()).equals(before)).toBe(true);
  expect(readdirSync(data).sort()).toEqual(["brimful.db", "brimful.lock"]);
});

function setByte(file: string, at: number, byte: number): void {
  const bytes = readFileSync(file);
  bytes[at] = byte;
  writeFileSync(file, bytes);
}

function setVersion(file: string, version: number): void {
  const sqlite = openSqlite(file);
  sqlite.pragma(`user_version = ${version}`);
  sqlite.close();
}

it("a damaged store is replaced all the same, and kept", async () => {
  const stores = createStores(data);
  fill(stores, 5000);
  await copyStore(store(), backup);
  stores.close();
  spoil(store());
  const { replaced } = await restoreStore({ folder: data, file: backup, nowMs: startMs });
  expect(countIn(store())).toBe(5000);
  expect(existsSync(replaced!)).toBe(true);
});

it("restores into a folder where nothing is yet", async () => {
  const stores = createStores(data);
  fill(stores, 7);
  await copyStore(store(), backup);
  stores.close();
  const fresh = join(folder, "new", "data");
  const { replaced } = await restoreStore({ folder: fresh, file: backup, nowMs: startMs });
  expect(replaced).toBeUndefined();
  expect(countIn(join(fresh, "brimful.db"))).toBe(7);
});

it("a backup lets in nobody who was shut out since", async () => {
  const stores = createStores(data);
  const hash = { kind: "board", salt: "s", hash: "h" } as const;
  for (const name of ["hill", "dale", "pond"]) {
    stores.credentials.saveCredential({ name, ...hash }, startMs);
  }
  stores.sessions.insert({ hash: "h", createdMs: startMs, expiresMs: startMs + 1e9, linkId: null });
  for (const id of ["kin", "gone"]) {
    stores.viewingLinks.insert({ id, label: id, hash: id, createdMs: startMs });
  }
  await copyStore(store(), backup);
  stores.credentials.revokeCredential("hill", startMs + 1);
  stores.viewingLinks.remove("gone");
  stores.close();
  await restoreStore({ folder: data, file: backup, nowMs: startMs });
  const after = createStores(data);
  expect(after.credentials.findCredential("hill")).toBeUndefined();
  expect(after.credentials.findCredential("dale")).toBeDefined();
  expect(after.sessions.find("h", startMs)).toBeUndefined();
  expect(after.viewingLinks.list().map(({ id }) => id)).toEqual(["kin"]);
  after.close();
});

it("after a program that was cut off every page is looked at, and damage stops the start", () => {
  const stores = createStores(data);
  fill(stores, 5000);
  stores.close();
  const lock = lockStore(data);
  lock.markOpen();
  lock.release(false);
  const again = createStores(data);
  expect(again.wasCutOff).toBe(true);
  again.close();
  const clean = createStores(data);
  expect(clean.wasCutOff).toBe(false);
  clean.close();
  // In the middle of a table that opening doesn't read.
  const bytes = readFileSync(store());
  bytes.fill(0x5a, bytes.length - 30_000, bytes.length - 20_000);
  writeFileSync(store(), bytes);
  createStores(data).close();
  const cut = lockStore(data);
  cut.markOpen();
  cut.release(false);
  for (let time = 0; time < 2; time++) {
    expect(() => createStores(data)).toThrow(/store requires a sound file/);
  }
});

it("boards that send again after an older backup are stored once", async () => {
  const rig = openRig(data);
  const from = (batch: number) => ({
    board: "hill",
    payload: packText({ batch, massesKg: [1], atMs: startMs - batch * 30_000 }),
    source: "test",
  });
  for (let batch = 1; batch <= 20; batch++) await rig.intake.accept(from(batch));
  await copyStore(store(), backup);
  for (let batch = 21; batch <= 30; batch++) await rig.intake.accept(from(batch));
  rig.intake.stop();
  rig.sqlite.close();
  await restoreStore({ folder: data, file: backup, nowMs: startMs });
  const after = openRig(data);
  expect(after.spools.through("hill", "a1")).toBe(20);
  for (let batch = 15; batch <= 30; batch++) await after.intake.accept(from(batch));
  expect(after.spools.through("hill", "a1")).toBe(30);
  after.sqlite.close();
  expect(countIn(store())).toBe(30);
});
