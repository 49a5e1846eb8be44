// From publishing a reading to the page hearing of it, with fifty buckets every five seconds.
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync } from "mqtt";
import { io } from "socket.io-client";
import type { YardChange } from "../../shared/wire/live.ts";
import { boardTopic } from "../../shared/wire/topics.ts";
import { call, makeFolder, startServer } from "./child.ts";
import { type Figure, quantile } from "./figures.ts";

const buckets = 50;
const everyMs = 5000;
const forMs = 25_000;

export async function latency(): Promise<Figure[]> {
  const folder = makeFolder();
  const server = await startServer(folder.path);
  await setUp(server.httpUrl);
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
  const sent = await publish(server.mqttUrl, publishedMs);
  await delay(1000);
  page.disconnect();
  await server.stop();
  folder.remove();
  const p99 = quantile(latenciesMs, 0.99);
  const name = `reading to browser, ${buckets} buckets every 5 s`;
  return [
    { name: `${name}, p50`, value: `${quantile(latenciesMs, 0.5).toFixed(0)} ms` },
    {
      name: `${name}, p99`,
      value: `${p99.toFixed(0)} ms`,
      goal: { text: "under 250 ms", reached: p99 < 250 },
    },
    { name: "  readings that came alone, of all sent", value: `${latenciesMs.length} / ${sent}` },
  ];
}

async function setUp(httpUrl: string): Promise<void> {
  for (let index = 1; index <= buckets; index += 1) {
    await call(`${httpUrl}/api/v1/buckets`, "POST", {
      label: `Pail ${index}`,
      cell: `bench/cell-${index}`,
      capacityL: 11,
      emptyKg: 0.8,
      fromMs: Date.now() - 1000,
    });
  }
}

/** Each bucket at its own moment of the five seconds, as boards that know nothing of each other. */
async function publish(mqttUrl: string, publishedMs: Map<string, number>): Promise<number> {
  const client = await connectAsync(mqttUrl);
  const untilMs = performance.now() + forMs;
  let sent = 0;
  for (let turn = 0; performance.now() < untilMs; turn += 1) {
    const bucket = (turn % buckets) + 1;
    const atMs = Date.now();
    const mass = { n: `cell-${bucket}/mass`, u: "kg", v: 2 + turn / 1e5 };
    const payload = JSON.stringify([{ bn: "bench/", bt: atMs / 1000, ...mass }]);
    publishedMs.set(`pail-${bucket} ${atMs}`, performance.now());
    client.publish(boardTopic("bench", "readings"), payload, { qos: 1 });
    sent += 1;
    await delay(everyMs / buckets);
  }
  await client.endAsync();
  return sent;
}
