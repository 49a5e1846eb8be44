// From the emulated chips to the rows of the database: true within a gram, and none lost or doubled
// by ten kills of board program, server and link.
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { connect, createServer, type Socket } from "node:net";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it, onTestFinished } from "vitest";
import { createSoftAmplifier } from "../../../device/link/soft-amplifier.ts";
import { createSoftBus, createSoftMux } from "../../../device/link/soft-bus.ts";
import { createSoftThermometer } from "../../../device/link/soft-thermometer.ts";
import { openCalibrations } from "../../../device/scale/calibration-file.ts";
import { createRandom } from "../../../device/yard/random.ts";
import { openStore } from "../../../server/db/open.ts";
import { spawnServer } from "../../helpers/mqtt-server.ts";
import { temporaryFolder } from "../rig.ts";
import { serveUno } from "./uno-rig.ts";

const main = fileURLToPath(new URL("../../../device/main.ts", import.meta.url));
const countsPerG = 107.374;
/** 0.33 g of single readings: 50 nV at ten readings a second, from memory, not confirmed. */
const noiseCounts = 35;
const channels = [0, 1, 2, 3, 4, 5, 6, 7];
const zeroCounts = (channel: number) => 30_000 * (channel - 4);
const massG = (channel: number) => 300 + 1_777.7 * channel;

function createNoisyBus(nowMs: () => number) {
  const random = createRandom(11);
  const branches = channels.map((channel) => {
    const counts = () =>
      zeroCounts(channel) + countsPerG * massG(channel) + noiseCounts * random.normal();
    return [createSoftAmplifier(nowMs, counts).slave];
  });
  return createSoftBus([createSoftMux(0x70, branches), createSoftThermometer(() => -7.5)]);
}

/** The network between board program and server: it can be cut, and outlives both. */
async function startNetwork() {
  let target = "";
  const sockets = new Set<Socket>();
  const server = createServer((near) => {
    const { hostname, port } = new URL(target);
    const far = connect(Number(port), hostname);
    for (const [one, other] of [
      [near, far],
      [far, near],
    ] as const) {
      sockets.add(one);
      one.on("error", () => one.destroy());
      one.on("close", () => {
        sockets.delete(one);
        other.destroy();
      });
      one.pipe(other);
    }
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const address = server.address();
  const port = typeof address === "object" && address !== null ? address.port : 0;
  const cut = () => {
    for (const socket of sockets) socket.destroy();
  };
  onTestFinished(() => {
    cut();
    server.close();
  });
  return {
    url: `mqtt://127.0.0.1:${port}`,
    cut,
    leadTo(url: string) {
      target = url;
    },
  };
}

function prepareBoard(folder: string, unoPort: number): string {
  const cells = channels.map((channel) => ({ cell: `cell-${channel + 1}`, channel }));
  const description = {
    name: "hill",
    host: `127.0.0.1:${unoPort}`,
    cells,
    thermometer: { chip: "mcp9808" },
  };
  const path = join(folder, "boards.json");
  writeFileSync(path, JSON.stringify({ boards: [description] }));
  const calibrations = openCalibrations(join(folder, "hill"));
  for (const { cell, channel } of cells) {
    calibrations.put(cell, {
      zeroCounts: zeroCounts(channel),
      countsPerG,
      calibratedAtMs: 1,
      knownG: 10_000,
    });
  }
  return path;
}

function spawnBoard(folder: string, boardsFile: string, url: string): ChildProcess {
  const args = ["--import", "tsx", main, "--boards", boardsFile, "--every", "5"];
  return spawn(process.execPath, args, {
    env: { PATH: process.env["PATH"], BRIMFUL_MQTT_URL: url, BRIMFUL_BOARD_DATA: folder },
    stdio: "ignore",
  });
}

type Sent = { batch: number; reading: string };

/** Every weight that the outbox has on disk, kept or not. */
function readingsInOutbox(folder: string): Sent[] {
  const names = readdirSync(folder).filter((name) => name.endsWith(".ndjson"));
  return names.flatMap((name) =>
    readFileSync(join(folder, name), "utf8")
      .split("\n")
      .filter((line) => line.endsWith("}"))
      .flatMap((line) => {
        const { batch, baseS, records } = (JSON.parse(line) as { of: Batch }).of;
        return records
          .filter(({ n }) => n.endsWith("/mass"))
          .map(({ n, t = 0 }) => ({
            batch,
            reading: `${n.split("/")[0]} ${Math.round((baseS + t) * 1000)}`,
          }));
      }),
  );
}

type Batch = { batch: number; baseS: number; records: { n: string; t?: number }[] };

type Row = { cell: string; atMs: number; massDg: number };

function rowsInStore(folder: string): Row[] {
  const store = openStore(folder);
  try {
    return store
      .prepare(
        `SELECT name AS cell, at_ms AS atMs, mass_dg AS massDg FROM reading
         JOIN cell ON cell.key = reading.cell_key WHERE board = 'hill'`,
      )
      .all() as Row[];
  } finally {
    store.close();
  }
}

function keptThrough(folder: string): number {
  const note = readFileSync(join(folder, "kept.json"), "utf8");
  return (JSON.parse(note) as { through: number }).through;
}

async function until(holds: () => boolean, limitMs: number): Promise<void> {
  const endMs = performance.now() + limitMs;
  while (!holds()) {
    if (performance.now() > endMs) throw new Error(`${holds} did not come true`);
    await pause(200);
  }
}

const pause = (forMs: number) => new Promise((resolve) => setTimeout(resolve, forMs));

it("brings every weight to the database, once and true within a gram, whatever is killed", async () => {
  const random = createRandom(Number(process.env["BRIMFUL_TEST_SEED"] ?? 1));
  const { port, cut, shut, stop } = await serveUno({
    bus: createNoisyBus,
    speed: 1,
    resets: false,
  });
  onTestFinished(stop);
  const network = await startNetwork();
  const boardFolder = temporaryFolder();
  const storeFolder = temporaryFolder();
  const boardsFile = prepareBoard(boardFolder, port);
  let server = spawnServer(storeFolder);
  network.leadTo(await server.mqttUrl());
  let board = spawnBoard(boardFolder, boardsFile, network.url);
  onTestFinished(async () => {
    board.kill("SIGKILL");
    await server.kill("SIGKILL");
  });

  const blows = {
    async board() {
      const ended = once(board, "exit");
      board.kill("SIGKILL");
      await ended;
      board = spawnBoard(boardFolder, boardsFile, network.url);
    },
    async server() {
      await server.kill("SIGKILL");
      server = spawnServer(storeFolder);
      network.leadTo(await server.mqttUrl());
    },
    network: () => Promise.resolve(network.cut()),
    wire: () => Promise.resolve(cut()),
  };
  const outbox = () => readingsInOutbox(join(boardFolder, "hill"));
  await until(() => outbox().length > 0, 40_000);
  const kinds = ["board", "server", "network", "wire"] as const;
  for (let blow = 0; blow < 10; blow += 1) {
    // Each kind twice at least, in an order and at times of chance.
    const kind = kinds[blow < 8 ? blow % 4 : Math.floor(4 * random.uniform())]!;
    const before = outbox().length;
    await until(() => outbox().length > before, 60_000);
    await pause(3_000 * random.uniform());
    await blows[kind]();
  }
  const before = outbox().length;
  await until(() => outbox().length > before, 60_000);

  // Without cells no weight is added any more: all that there are have to arrive.
  shut();
  await blows.board();
  const lastBatch = Math.max(...outbox().map(({ batch }) => batch));
  await until(() => keptThrough(join(boardFolder, "hill")) >= lastBatch, 60_000);
  board.kill("SIGKILL");
  await server.kill("SIGTERM");

  const sent = outbox().map(({ reading }) => reading);
  const rows = rowsInStore(storeFolder);
  const stored = rows.map(({ cell, atMs }) => `${cell} ${atMs}`);
  expect(sent.length).toBeGreaterThan(8 * 3);
  expect(new Set(sent).size).toBe(sent.length);
  expect(stored.sort()).toEqual(sent.sort());
  for (const { cell, massDg } of rows) {
    const channel = Number(cell.slice(5)) - 1;
    expect(Math.abs(massDg / 10 - massG(channel))).toBeLessThan(1);
  }
}, 240_000);
