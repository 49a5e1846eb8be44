// Tests what the server says of itself over HTTP, with the real backup command behind it.
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { type App, createApp } from "../../../server/app.ts";
import { createBackUp } from "../../../server/care/backup-program.ts";
import { parseConfig } from "../../../server/config.ts";
import { openSqlite } from "../../../server/db/sqlite.ts";
import { careSchema } from "../../../shared/wire/care.ts";
import { createTestClock, createTestLog, packText, startMs } from "../../helpers/store-rig.ts";

const command = new URL("../../../server/commands/backup.ts", import.meta.url).pathname;
const minute = 60_000;
let folder: string;
let app: App;
const clock = createTestClock();

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "brimful-care-"));
  const config = parseConfig({
    BRIMFUL_DATA: folder,
    BRIMFUL_HTTP_PORT: "0",
    BRIMFUL_MQTT_PORT: "0",
    BRIMFUL_TZ: "UTC",
  });
  if (!config.ok) throw new Error(config.problem);
  app = createApp({
    config: config.value,
    clock,
    log: createTestLog(),
    webFolder: folder,
    backUp: createBackUp(["--import", "tsx", command]),
    version: "1.2.3",
  });
  await app.start();
});
afterEach(async () => {
  await app.stop();
  rmSync(folder, { recursive: true });
});

const ask = (method: string, path: string, body?: string) =>
  fetch(`${app.httpUrl()}/api/v1${path}`, {
    method,
    ...(body === undefined ? {} : { body, headers: { "content-type": "application/json" } }),
  });
const care = async () => careSchema.parse(await (await ask("GET", "/care")).json());

it("says how it fares, and that a backup was made when asked for one", async () => {
  const before = await care();
  expect(before).toMatchObject({ version: "1.2.3", startedAtMs: clock.nowMs(), waitingPacks: 0 });
  expect(before.disk.freeBytes).toBeGreaterThan(0);
  expect(before.backups).toMatchObject({ count: 0, lastAtMs: null, problem: null, daily: true });
  const made = await ask("POST", "/care/backup", "{}");
  expect(made.status).toBe(200);
  const { backups } = careSchema.parse(await made.json());
  expect(backups).toMatchObject({ count: 1, folder: join(folder, "backups"), problem: null });
  expect(backups.lastBytes).toBeGreaterThan(4096);
});

it("a backup that fails is told with its reason", async () => {
  writeFileSync(join(folder, "backups"), "a file where the folder should be");
  const answer = await ask("POST", "/care/backup", "{}");
  expect(answer.status).toBe(503);
  expect((await answer.json()).detail).toMatch(/EEXIST/);
  expect((await care()).backups.problem).toMatch(/EEXIST/);
});

it("hands out a whole copy and leaves nothing of it behind", async () => {
  await ask("POST", "/readings", packText({ atMs: clock.nowMs() }));
  const answer = await ask("GET", "/backup");
  expect(answer.status).toBe(200);
  expect(answer.headers.get("content-disposition")).toMatch(/brimful-\d{4}-.*Z\.db/);
  const file = join(folder, "taken.db");
  writeFileSync(file, Buffer.from(await answer.arrayBuffer()));
  const copy = openSqlite(file, { readonly: true });
  expect(copy.prepare("SELECT mass_dg FROM reading").pluck().all()).toEqual([73_000]);
  expect(copy.pragma("integrity_check", { simple: true })).toBe("ok");
  copy.close();
  await expect.poll(() => readdirSync(folder).filter((name) => /taken-/.test(name))).toEqual([]);
});

it("a board whose clock is ahead is seen, also when its readings are refused for it", async () => {
  for (const aheadMs of [0, 3 * 60 * minute]) {
    await ask("POST", "/readings", packText({ atMs: clock.nowMs() + aheadMs }));
    clock.advance(minute);
  }
  const [hill] = (await care()).boards;
  expect(hill).toMatchObject({ name: "hill", clockAheadMs: 3 * 60 * minute });
  const yard = async () => (await (await ask("GET", "/yard")).json()) as { alarms: object[] };
  await expect
    .poll(async () => (await yard()).alarms, { timeout: 5000 })
    .toMatchObject([{ kind: "care", subject: "yard/clock", severity: "soon" }]);
  expect(clock.nowMs()).toBeGreaterThan(startMs);
});
