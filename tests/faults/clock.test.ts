// The real server and the real board program on clocks that leap by hours and back: each reading is stored, or counted as refused.
import { type ChildProcess, fork } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as delay } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { afterEach, beforeEach, expect, it } from "vitest";
import type { KeptBatch } from "../../device/outbox-line.ts";
import { openSqlite } from "../../server/db/sqlite.ts";
import { scaledClockMs } from "../../shared/scaled-clock.ts";
import { type DemoOrder, demoServerReportSchema } from "../../shared/wire/demo.ts";
import { open as openOutbox } from "../device/outbox-rig.ts";

const hourMs = 3_600_000;
const beginMs = Date.UTC(2026, 2, 14, 15);
/** A reading of each cell every half second of real time. */
const speed = 60;
const boards = ["hill", "dell"];

let folder: string;
const children: ChildProcess[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-clock-"));
});
afterEach(async () => {
  for (const child of children.splice(0)) await end(child, "SIGKILL");
  rmSync(folder, { recursive: true });
});

function start(program: string, args: string[], env: Record<string, string>): ChildProcess {
  const child = fork(fileURLToPath(new URL(`../../${program}`, import.meta.url)), args, {
    execArgv: ["--import", "tsx"],
    env: { PATH: process.env["PATH"], HOME: process.env["HOME"], BRIMFUL_LOG: "error", ...env },
    stdio: ["ignore", "ignore", "inherit", "ipc"],
  });
  children.push(child);
  return child;
}

async function end(child: ChildProcess, signal: "SIGTERM" | "SIGKILL"): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = once(child, "exit");
  child.kill(signal);
  await ended;
}

/** The clock of one program, set by the channel that the demo sets it by. */
function createLeaper(child: ChildProcess) {
  let order: DemoOrder = { kind: "run", heldAtMs: beginMs, runsFromRealMs: Date.now(), speed };
  const send = (next: DemoOrder) => {
    order = next;
    child.send(next);
  };
  send(order);
  return {
    leap(byMs: number) {
      const realNowMs = Date.now();
      const heldAtMs = scaledClockMs({ realNowMs, ...order }) + byMs;
      send({ ...order, heldAtMs, runsFromRealMs: realNowMs });
    },
  };
}

async function startAll() {
  const server = start("server/main.ts", [], {
    BRIMFUL_DATA: join(folder, "data"),
    BRIMFUL_HTTP_PORT: "0",
    BRIMFUL_MQTT_PORT: "0",
    BRIMFUL_DEMO_NOW: String(beginMs),
  });
  const [told] = (await once(server, "message")) as unknown[];
  const { httpUrl, mqttPort } = demoServerReportSchema.parse(told);
  const args = ["--simulated", "--now", String(beginMs), "--time-zone", "UTC", "--days", "0"];
  const board = start("device/main.ts", args, {
    BRIMFUL_BOARD_DATA: join(folder, "board"),
    BRIMFUL_MQTT_URL: `mqtt://127.0.0.1:${mqttPort}`,
  });
  await once(board, "message");
  return {
    server,
    board,
    httpUrl,
    clocks: { server: createLeaper(server), board: createLeaper(board) },
  };
}

async function refusedRecords(httpUrl: string): Promise<number> {
  const text = await (await fetch(`${httpUrl}/metrics`)).text();
  return Number(/^brimful_refused_records_total (\d+)$/m.exec(text)?.[1]);
}

/** All that a board's outbox says the server has: the records of its batches that are kept. */
async function keptBatches(board: string): Promise<{ batches: KeptBatch[]; waiting: number }> {
  const outbox = openOutbox(join(folder, "board", board));
  const { through } = outbox.kept();
  const batches: KeptBatch[] = [];
  for (let next = outbox.next(1); next !== undefined; next = outbox.next(next.batch + 1)) {
    if (next.batch <= through) batches.push(next);
  }
  const waiting = outbox.last() - through;
  await outbox.close();
  return { batches, waiting };
}

type Mass = { cell: string | undefined; atMs: number };

function isRisingPerCell(masses: readonly Mass[]): boolean {
  const newestMs = new Map<string | undefined, number>();
  return masses.every(({ cell, atMs }) => {
    const isLater = atMs > (newestMs.get(cell) ?? 0);
    newestMs.set(cell, atMs);
    return isLater;
  });
}

type Counts = { kept: number; missing: number; waiting: number; isRising: boolean };

async function compare(): Promise<Counts> {
  const sqlite = openSqlite(join(folder, "data", "brimful.db"), { readonly: true });
  const massAt = sqlite
    .prepare(
      `SELECT mass_dg FROM reading JOIN cell ON cell.key = cell_key
       WHERE board = ? AND name = ? AND at_ms = ?`,
    )
    .pluck();
  const counts = { kept: 0, missing: 0, waiting: 0, isRising: true };
  for (const board of boards) {
    const { batches, waiting } = await keptBatches(board);
    counts.waiting += waiting;
    const masses = batches.flatMap(({ baseS, records }) =>
      records
        .filter(({ n }) => n.endsWith("/mass"))
        .map(({ n, t = 0, v = 0 }) => ({
          cell: n.split("/")[0],
          atMs: Math.round((baseS + t) * 1000),
          v,
        })),
    );
    counts.kept += masses.length;
    counts.isRising &&= isRisingPerCell(masses);
    for (const { cell, atMs, v } of masses) {
      if (massAt.get(board, cell, atMs) !== Math.round(v * 10_000)) counts.missing += 1;
    }
  }
  sqlite.close();
  return counts;
}

type Leap = { of: "server" | "board"; byMs: number };

async function leapAndBack(leaps: readonly Leap[]) {
  const { server, board, httpUrl, clocks } = await startAll();
  await delay(1500);
  for (const { of, byMs } of leaps) {
    clocks[of].leap(byMs);
    await delay(2000);
    clocks[of].leap(-byMs);
    await delay(1000);
  }
  await end(board, "SIGTERM");
  const refused = await refusedRecords(httpUrl);
  await end(server, "SIGTERM");
  return { refused, ...(await compare()) };
}

it("leaps of either clock by less than an hour, and of the server's ahead by hours, cost nothing", async () => {
  const leaps: Leap[] = [
    { of: "server", byMs: 5 * hourMs },
    { of: "board", byMs: 0.6 * hourMs },
    { of: "server", byMs: -0.2 * hourMs },
    { of: "board", byMs: -5 * hourMs },
  ];
  const { kept, missing, refused, isRising } = await leapAndBack(leaps);
  expect({ missing, refused, isRising }).toEqual({ missing: 0, refused: 0, isRising: true });
  expect(kept).toBeGreaterThan(50);
}, 60_000);

it("what a clock that is hours off dates more than an hour ahead is refused and counted, nothing else", async () => {
  const leaps: Leap[] = [
    { of: "server", byMs: -5 * hourMs },
    { of: "board", byMs: 5 * hourMs },
  ];
  const { kept, missing, refused, isRising } = await leapAndBack(leaps);
  expect(missing).toBeGreaterThan(0);
  expect(missing).toBeLessThan(kept);
  // Weight, spread and counts of each; beside them what the boards say of air, pressure and supply.
  expect(refused).toBeGreaterThanOrEqual(3 * missing);
  expect(isRising).toBe(true);
}, 60_000);
