// A server program that is flooded: another board is stored all the same, and memory comes back.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import { openSqlite } from "../../server/db/sqlite.ts";
import type { YardView } from "../../shared/wire/api.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";
import { flood } from "./flood.ts";

const undoing: (() => unknown)[] = [];
afterEach(async () => {
  for (const undo of undoing.splice(0).reverse()) await undo();
});

const patient = { timeout: 60_000, interval: 200 };

async function careAlarms(httpUrl: string): Promise<string[]> {
  const { alarms } = (await (await fetch(`${httpUrl}/api/v1/yard`)).json()) as YardView;
  return alarms.filter(({ subject }) => subject === "yard/flood").map(({ text }) => text);
}

it("messages, names, huge packs, connections and half requests harm neither it nor another board, and who floods is named", async () => {
  const folder = mkdtempSync(join(tmpdir(), "brimful-flood-"));
  undoing.push(() => rmSync(folder, { recursive: true }));
  const server = spawnServer(folder, { env: { BRIMFUL_LOG: "warn" } });
  undoing.push(() => server.kill("SIGKILL"));
  const mqttUrl = await server.mqttUrl();
  const { pid } = server;
  const httpUrl = server.httpUrl();
  const size = {
    messages: 2000,
    cells: 1,
    names: 800,
    // Together more than any outbox holds: whoever sends as much is slowed down.
    hugePacks: 84,
    connections: 600,
    halfRequests: 300,
    restMs: 5000,
  };
  const figures = await flood({ pid, httpUrl, mqttUrl }, size);
  expect(figures.messages).toBe(size.messages);
  expect(figures.calmSent).toBeGreaterThan(10);
  // Far below what all that was sent takes: 250 MB of huge packs alone, each parsed to ten times that.
  expect(figures.highestMb - figures.beforeMb).toBeLessThan(120);
  expect(figures.afterMb - figures.beforeMb).toBeLessThan(100);
  expect((await fetch(`${httpUrl}/healthz`)).status).toBe(200);
  await expect
    .poll(() => careAlarms(httpUrl), patient)
    .toEqual(["Far too much comes from huge, so it is held back: look at what that board runs"]);
  await server.kill("SIGTERM");
  const sqlite = openSqlite(join(folder, "brimful.db"), { readonly: true });
  const count = "SELECT count(*) FROM reading JOIN cell ON cell.key = cell_key WHERE board = ?";
  expect(sqlite.prepare(count).pluck().get("calm")).toBe(figures.calmSent);
  expect(sqlite.prepare("SELECT count(*) FROM board").pluck().get()).toBe(500);
  sqlite.close();
  expect(server.written().split("\n").length).toBeLessThan(60);
}, 120_000);
