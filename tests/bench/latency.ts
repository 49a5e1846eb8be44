// From publishing a reading to the page hearing of it, with fifty buckets every five seconds.
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync } from "mqtt";
import { io } from "socket.io-client";
import type { YardChange } from "../../shared/wire/live.ts";
import { boardTopic } from "../../shared/wire/topics.ts";
import { call, makeFolder, type ServerChild, startServer } from "./child.ts";
import { type Figure, quantile } from "./figures.ts";

const buckets = 50;
const cellsPerBoard = 8;
const everyMs = 5000;
const forMs = 40_000;
const goalMs = 250;
/** Uncounted: at the first reading of each bucket the server also says that it is there. */
const warmUpMs = everyMs;

/** Which buckets one message speaks of, and at which share of the five seconds it comes. */
type Pack = { board: string; buckets: number[]; phase: number };

/** As boards of eight cells publish, each at a moment of its own; or every bucket by itself. */
const boardPacks: Pack[] = Array.from(
  { length: Math.ceil(buckets / cellsPerBoard) },
  (_, board) => ({
    board: `board-${board}`,
    buckets: numbersFrom(board * cellsPerBoard + 1, Math.min(buckets, (board + 1) * cellsPerBoard)),
    phase: (board * 0.618_034) % 1,
  }),
);
const singlePacks: Pack[] = numbersFrom(1, buckets).map((bucket) => ({
  board: boardOf(bucket),
  buckets: [bucket],
  phase: bucket / buckets,
}));

export async function latency(): Promise<Figure[]> {
  const folder = makeFolder();
  const server = await startServer(folder.path);
  await setUp(server.httpUrl);
  await publish(server.mqttUrl, { packs: boardPacks, lastMs: warmUpMs }, new Map());
  const byBoards = await latenciesOf(server, boardPacks);
  const bySingles = await latenciesOf(server, singlePacks);
  await server.stop();
  folder.remove();
  const name = `reading to browser, ${buckets} buckets every 5 s`;
  return [
    ...figures(`${name}, seven boards`, byBoards),
    ...figures(`${name}, each alone`, bySingles),
  ];
}

function figures(name: string, latenciesMs: number[]): Figure[] {
  const p99 = quantile(latenciesMs, 0.99);
  return [
    { name: `${name}, p50`, value: `${quantile(latenciesMs, 0.5).toFixed(0)} ms` },
    {
      name: `${name}, p99`,
      value: `${p99.toFixed(0)} ms`,
      goal: { text: `under ${goalMs} ms`, reached: p99 < goalMs },
    },
  ];
}

/** A figure for every reading that was published; throws when one never came. */
async function latenciesOf(server: ServerChild, packs: readonly Pack[]): Promise<number[]> {
  const publishedMs = new Map<string, number>();
  const latenciesMs: number[] = [];
  const page = io(server.httpUrl, { transports: ["websocket"] });
  await new Promise<void>((resolve) => page.once("yard", () => resolve()));
  page.on("change", (change: YardChange) => {
    for (const { id, lastReadingMs } of change.buckets ?? []) {
      const key = `${id} ${lastReadingMs}`;
      const sentMs = publishedMs.get(key);
      if (sentMs !== undefined) latenciesMs.push(performance.now() - sentMs);
      publishedMs.delete(key);
    }
  });
  await publish(server.mqttUrl, { packs, lastMs: forMs }, publishedMs);
  await delay(1000);
  page.disconnect();
  if (publishedMs.size > 0)
    throw new Error(`page requires all readings, ${publishedMs.size} never came`);
  return latenciesMs;
}

async function setUp(httpUrl: string): Promise<void> {
  for (let index = 1; index <= buckets; index += 1) {
    await call(`${httpUrl}/api/v1/buckets`, "POST", {
      label: `Pail ${index}`,
      cell: `${boardOf(index)}/cell-${index}`,
      capacityL: 11,
      emptyKg: 0.8,
      fromMs: Date.now() - 1000,
    });
  }
}

async function publish(
  mqttUrl: string,
  { packs, lastMs }: { packs: readonly Pack[]; lastMs: number },
  publishedMs: Map<string, number>,
): Promise<void> {
  const client = await connectAsync(mqttUrl);
  const beganMs = performance.now();
  const rounds = numbersFrom(0, lastMs / everyMs - 1);
  const inOrder = [...packs].sort((one, other) => one.phase - other.phase);
  for (const round of rounds) {
    for (const pack of inOrder) {
      const dueMs = beganMs + (round + pack.phase) * everyMs;
      await delay(Math.max(0, dueMs - performance.now()));
      const atMs = Date.now();
      const records = pack.buckets.map((bucket) => {
        publishedMs.set(`pail-${bucket} ${atMs}`, performance.now());
        return { n: `cell-${bucket}/mass`, u: "kg", v: 2 + round / 100 };
      });
      const payload = JSON.stringify([{ bn: `${pack.board}/`, bt: atMs / 1000 }, ...records]);
      client.publish(boardTopic(pack.board, "readings"), payload, { qos: 1 });
    }
  }
  await client.endAsync();
}

function boardOf(bucket: number): string {
  return `board-${Math.floor((bucket - 1) / cellsPerBoard)}`;
}

function numbersFrom(first: number, last: number): number[] {
  return Array.from({ length: last - first + 1 }, (_, index) => first + index);
}
