// Tests backing up and restoring as a person does: beside a running server, with a real board program.
import { type ChildProcess, execFile, fork } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openSqlite } from "../../../server/db/sqlite.ts";
import { spawnServer } from "../../helpers/mqtt-server.ts";

const run = promisify(execFile);
const root = new URL("../../../", import.meta.url).pathname;
let folder: string;
const ending: (() => unknown)[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-restoring-"));
});
afterEach(async () => {
  for (const end of ending.splice(0).reverse()) await end();
  rmSync(folder, { recursive: true });
});

async function command(name: string, ...args: string[]) {
  const path = join(root, "server/commands", `${name}.ts`);
  const env = { PATH: process.env["PATH"], BRIMFUL_DATA: join(folder, "data") };
  try {
    const { stdout } = await run(process.execPath, ["--import", "tsx", path, ...args], { env });
    return { output: stdout, errors: "" };
  } catch (error) {
    const { stdout, stderr } = error as { stdout: string; stderr: string };
    return { output: stdout, errors: stderr.trim() };
  }
}

function start() {
  const server = spawnServer(join(folder, "data"));
  ending.push(() => server.kill("SIGKILL"));
  return server;
}

/** A simulated yard that fills in three days and then stands still, its outbox on disk. */
function startBoard(mqttUrl: string): ChildProcess {
  const args = ["--simulated", "--now", String(Date.now()), "--time-zone", "UTC", "--days", "3"];
  const child = fork(join(root, "device/main.ts"), args, {
    execArgv: ["--import", "tsx"],
    env: {
      ...process.env,
      BRIMFUL_MQTT_URL: mqttUrl,
      BRIMFUL_BOARD_DATA: join(folder, "board"),
    },
    silent: true,
  });
  ending.push(() => child.kill("SIGKILL"));
  return child;
}

/** False when it ended before. Of several messages that come in one go, only a listener that stays hears all. */
function backfilled(child: ChildProcess): Promise<boolean> {
  return new Promise((resolve) => {
    child.once("exit", () => resolve(false));
    child.on("message", (message) => {
      if ((message as { kind: string }).kind === "backfilled") resolve(true);
    });
  });
}

const patient = { timeout: 150_000, interval: 50 };
type Content = { readings: number; times: number; through: number };

function contentOf(file: string): Content {
  const sqlite = openSqlite(file, { readonly: true });
  const content = sqlite
    .prepare(
      `SELECT (SELECT count(*) FROM reading) AS readings,
              (SELECT count(*) FROM (SELECT DISTINCT cell_key, at_ms FROM reading)) AS times,
              (SELECT coalesce(sum(through), 0) FROM spool) AS through`,
    )
    .get() as Content;
  sqlite.close();
  return content;
}

test("after an older backup the boards send again all that is missing, and nothing twice", async () => {
  const store = join(folder, "data", "brimful.db");
  const first = start();
  const board = startBoard(await first.mqttUrl());
  const filled = backfilled(board);
  await expect.poll(() => contentOf(store).through, patient).toBeGreaterThanOrEqual(10);
  // Held in the middle, so that the backup holds a part.
  board.kill("SIGSTOP");
  const backedUp = await command("backup");
  board.kill("SIGCONT");
  expect(backedUp.errors).toBe("");
  const backup = backedUp.output.trim().split("\n").at(-1) ?? "";
  const atBackup = contentOf(backup);
  expect(await filled).toBe(true);
  await first.kill("SIGTERM");
  board.kill("SIGKILL");
  await once(board, "exit");
  const before = contentOf(store);
  expect(before.readings).toBeGreaterThan(atBackup.readings);

  const restored = await command("restore", backup);
  expect(restored.errors).toBe("");
  expect(restored.output).toContain("What was there before is kept as");
  expect(contentOf(store)).toEqual(atBackup);

  const second = start();
  const again = startBoard(await second.mqttUrl());
  await expect.poll(() => contentOf(store).through, patient).toBeGreaterThanOrEqual(before.through);
  again.kill("SIGKILL");
  await second.kill("SIGTERM");
  const after = contentOf(store);
  expect(after.readings).toBeGreaterThanOrEqual(before.readings);
  expect(after.times).toBe(after.readings);
  const missing = openSqlite(store, { readonly: true });
  const kept = join(folder, "data", readdirSync(join(folder, "data")).find(isReplaced) ?? "");
  missing.prepare("ATTACH ? AS old").run(kept);
  const lost = missing
    .prepare(
      "SELECT count(*) FROM (SELECT cell_key, at_ms, mass_dg FROM old.reading EXCEPT SELECT cell_key, at_ms, mass_dg FROM reading)",
    )
    .pluck()
    .get();
  missing.close();
  expect(lost).toBe(0);
}, 300_000);

const isReplaced = (name: string) => /\.replaced-[^.]*Z$/.test(name);

test("restoring is refused beside a running server, and without a file it names the newest", async () => {
  const server = start();
  await server.mqttUrl();
  const { output } = await command("backup");
  const backup = output.trim().split("\n").at(-1) ?? "";
  expect((await command("restore", backup)).errors).toMatch(
    /^data folder requires to be free, got one that a running Brimful has open/,
  );
  expect((await command("restore")).errors).toBe(
    `restore requires one backup file, got 0; the newest is ${backup}`,
  );
}, 60_000);

test("a server that was cut off and finds its store damaged says how to go on, and that works", async () => {
  const first = start();
  await first.mqttUrl();
  await command("backup");
  await first.kill("SIGKILL");
  const file = join(folder, "data", "brimful.db");
  const sqlite = openSqlite(file);
  sqlite.pragma("wal_checkpoint(TRUNCATE)");
  sqlite.close();
  const bytes = readFileSync(file);
  bytes.fill(0x5a, 5 * 4096, 9 * 4096);
  writeFileSync(file, bytes);
  const { code, errors } = await start().ended;
  expect(code).toBe(1);
  const mend = /npm run restore -- (\S+)/.exec(errors)?.[1];
  expect(errors).toMatch(/^store requires a sound file, got ".*" in \S+brimful\.db; bring back/);
  expect((await command("restore", mend ?? "")).errors).toBe("");
  expect(await start().mqttUrl()).toMatch(/^mqtt:/);
}, 60_000);
