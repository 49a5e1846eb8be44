// Readings a second from MQTT to committed rows, beside bare batched inserts of the same rows.
import { execFile } from "node:child_process";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { openStore } from "../../server/db/open.ts";
import { startMosquitto } from "../helpers/mqtt-mosquitto.ts";
import { call, makeFolder, type ServerChild, startServer } from "./child.ts";
import { type Figure, median, wholeNumber, withRange } from "./figures.ts";
import { bareRowsPerS } from "./floor.ts";
import { type Load, readingsPerPack, startMs } from "./packs.ts";

const run = promisify(execFile);
const publisher = fileURLToPath(new URL("./publisher.ts", import.meta.url));
const rounds = 3;
const load: Load = { packs: 30_000, boards: 4 };
const loadWithBuckets: Load = { packs: 10_000, boards: 4 };
const loadThroughMosquitto: Load = { packs: 3_000, boards: 4 };
const mostQueued = 900;
const goalRate = 50_000;
const goalRatio = 0.2;

export async function ingest(): Promise<Figure[]> {
  const bare: number[] = [];
  const embedded: number[] = [];
  const hung: number[] = [];
  const mosquitto: number[] = [];
  // In turn, so that what else the machine does meets all of them alike.
  for (let round = 0; round < rounds; round += 1) {
    bare.push(bareRowsPerS(load));
    embedded.push(await throughServer({ load }));
    hung.push(await throughServer({ load: loadWithBuckets, prepare: hangBuckets }));
    mosquitto.push(await throughMosquitto());
  }
  return [
    { name: "bare inserts, 1,000 rows a commit, rows/s", value: withRange(bare, wholeNumber) },
    ...figures("MQTT QoS 1 to committed rows, readings/s", embedded, bare),
    ...figures("the same with a bucket on every cell, readings/s", hung, bare),
    {
      name: "the same through Mosquitto, readings/s",
      value: withRange(mosquitto, wholeNumber),
    },
  ];
}

function figures(name: string, rates: number[], bare: number[]): Figure[] {
  const ratios = rates.map((rate, round) => rate / (bare[round] ?? Number.NaN));
  return [
    {
      name,
      value: withRange(rates, wholeNumber),
      goal: {
        text: `at least ${wholeNumber(goalRate)}`,
        reached: median(rates) >= goalRate,
      },
    },
    {
      name: "  of the bare rate",
      value: withRange(ratios, (ratio) => ratio.toFixed(2)),
      goal: { text: `at least ${goalRatio}`, reached: median(ratios) >= goalRatio },
    },
  ];
}

type Through = {
  load: Load;
  settings?: Record<string, string>;
  mostUnkept?: number;
  prepare?: (server: ServerChild) => Promise<void>;
};

async function throughServer({
  load: { packs, boards },
  settings = {},
  mostUnkept = Number.POSITIVE_INFINITY,
  prepare,
}: Through): Promise<number> {
  const folder = makeFolder();
  const server = await startServer(folder.path, settings);
  await prepare?.(server);
  const url = settings["BRIMFUL_MQTT_URL"] ?? server.mqttUrl;
  const options = ["--import", "tsx", publisher, url, `${packs}`, `${boards}`, `${mostUnkept}`];
  const { stdout } = await run(process.execPath, options, { timeout: 120_000 });
  // Killed at the last `kept`: what is found then was committed before it was told.
  await server.kill();
  const sqlite = openStore(folder.path);
  const rows = sqlite.prepare("SELECT count(*) FROM reading").pluck().get();
  sqlite.close();
  folder.remove();
  if (rows !== packs * readingsPerPack) {
    throw new Error(`store requires ${packs * readingsPerPack} rows, got ${rows}`);
  }
  return (packs * readingsPerPack) / (JSON.parse(stdout) as { seconds: number }).seconds;
}

/** Then the server reckons flow and forecasts while it takes readings in, as it does in a yard. */
async function hangBuckets({ httpUrl }: ServerChild): Promise<void> {
  for (let pail = 0; pail < load.boards * readingsPerPack; pail += 1) {
    const board = `bench-${Math.floor(pail / readingsPerPack)}`;
    await call(`${httpUrl}/api/v1/buckets`, "POST", {
      label: `Pail ${pail + 1}`,
      cell: `${board}/cell-${(pail % readingsPerPack) + 1}`,
      capacityL: 11,
      emptyKg: 0.8,
      fromMs: startMs,
    });
  }
}

async function throughMosquitto(): Promise<number> {
  const mosquitto = await startMosquitto();
  try {
    const settings = { BRIMFUL_MQTT_URL: mosquitto.url };
    return await throughServer({ load: loadThroughMosquitto, settings, mostUnkept: mostQueued });
  } finally {
    await mosquitto.stop();
  }
}
