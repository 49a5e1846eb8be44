// Readings a second from MQTT to committed rows, beside bare batched inserts of the same rows.
import { execFile } from "node:child_process";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { createBoards } from "../../server/db/boards.ts";
import { openStore } from "../../server/db/open.ts";
import { startMosquitto } from "../helpers/mqtt-mosquitto.ts";
import { makeFolder, startServer } from "./child.ts";
import { type Figure, median, wholeNumber } from "./figures.ts";
import { massG, readingsPerPack, startMs, stepMs } from "./packs.ts";

const run = promisify(execFile);
const publisher = fileURLToPath(new URL("./publisher.ts", import.meta.url));
const rounds = 3;
const packs = 30_000;
const packsThroughMosquitto = 3_000;
const rowsPerBatch = 1000;
const mostQueued = 900;

export async function ingest(): Promise<Figure[]> {
  const bare: number[] = [];
  const embedded: number[] = [];
  const mosquitto: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    bare.push(bareInserts());
    embedded.push(await throughServer({}, packs));
    mosquitto.push(await throughMosquitto());
  }
  const ratio = median(embedded.map((rate, index) => rate / (bare[index] ?? Number.NaN)));
  const rate = median(embedded);
  return [
    { name: "bare inserts, 1,000 rows a commit, rows/s", value: wholeNumber(median(bare)) },
    {
      name: "MQTT QoS 1 to committed rows, readings/s",
      value: wholeNumber(rate),
      goal: { text: "at least 50,000", reached: rate >= 50_000 },
    },
    {
      name: "  of the bare rate",
      value: ratio.toFixed(2),
      goal: { text: "at least 0.2", reached: ratio >= 0.2 },
    },
    { name: "the same through Mosquitto, readings/s", value: wholeNumber(median(mosquitto)) },
  ];
}

function bareInserts(): number {
  const folder = makeFolder();
  const sqlite = openStore(folder.path);
  const boards = createBoards(sqlite);
  boards.heard("bench", startMs);
  const keys = Array.from({ length: readingsPerPack }, (_, index) =>
    boards.cellKey({ board: "bench", name: `cell-${index + 1}`, atMs: startMs }),
  );
  const insert = sqlite.prepare(
    "INSERT INTO reading (cell_key, at_ms, mass_dg, spread_dg, counts) VALUES (?, ?, ?, NULL, NULL)",
  );
  const packsPerBatch = rowsPerBatch / readingsPerPack;
  const insertBatch = sqlite.transaction((first: number) => {
    for (let batch = first; batch < first + packsPerBatch; batch += 1) {
      keys.forEach((key, index) => {
        insert.run(key, startMs + batch * stepMs, massG(index + 1, batch) * 10);
      });
    }
  });
  const beganMs = performance.now();
  for (let first = 1; first <= packs; first += packsPerBatch) insertBatch(first);
  const seconds = (performance.now() - beganMs) / 1000;
  sqlite.close();
  folder.remove();
  return (packs * readingsPerPack) / seconds;
}

async function throughServer(
  settings: Record<string, string>,
  count: number,
  mostUnkept = Number.POSITIVE_INFINITY,
): Promise<number> {
  const folder = makeFolder();
  const server = await startServer(folder.path, settings);
  const url = settings["BRIMFUL_MQTT_URL"] ?? server.mqttUrl;
  const options = ["--import", "tsx", publisher, url, "bench", String(count), String(mostUnkept)];
  const { stdout } = await run(process.execPath, options, { timeout: 120_000 });
  // Killed at the last `kept`: what is found then was committed before it was told.
  await server.kill();
  const sqlite = openStore(folder.path);
  const rows = sqlite.prepare("SELECT count(*) FROM reading").pluck().get();
  sqlite.close();
  folder.remove();
  if (rows !== count * readingsPerPack) {
    throw new Error(`store requires ${count * readingsPerPack} rows, got ${rows}`);
  }
  return (count * readingsPerPack) / (JSON.parse(stdout) as { seconds: number }).seconds;
}

async function throughMosquitto(): Promise<number> {
  const mosquitto = await startMosquitto();
  try {
    const settings = { BRIMFUL_MQTT_URL: mosquitto.url };
    return await throughServer(settings, packsThroughMosquitto, mostQueued);
  } finally {
    await mosquitto.stop();
  }
}
