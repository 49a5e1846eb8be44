// What a flood does to a server: its memory before and after, what another board waits, and that the one is named.
import { setTimeout as delay } from "node:timers/promises";
import type { YardView } from "../../shared/wire/api.ts";
import { flood as floodWith } from "../faults/flood.ts";
import { call, makeFolder, startServer } from "./child.ts";
import { type Figure, quantile, wholeNumber } from "./figures.ts";

const size = {
  // Some more than what is let through at once.
  messages: 90_000,
  cells: 60,
  names: 5000,
  hugePacks: 40,
  connections: 900,
  halfRequests: 400,
  restMs: 60_000,
};
const namedWithinMs = 60_000;

export async function flood(): Promise<Figure[]> {
  const folder = makeFolder();
  const server = await startServer(folder.path, { BRIMFUL_LOG: "error" });
  const { httpUrl, mqttUrl } = server;
  const figures = await floodWith({ pid: server.process.pid, httpUrl, mqttUrl }, size);
  const named = await alarmOf(httpUrl);
  await server.stop();
  folder.remove();
  const { beforeMb, highestMb, afterMb, calmWaitsMs, messages } = figures;
  const mb = [beforeMb, highestMb, afterMb].map((value) => value.toFixed(0)).join(", ");
  const waits = [0.5, 0.99].map((share) => quantile(calmWaitsMs, share).toFixed(0)).join(" / ");
  return [
    {
      name: "one board as fast as it can, messages taken until it is slowed down",
      value: wholeNumber(messages),
    },
    { name: "another board's wait for its acknowledgement, p50 / p99", value: `${waits} ms` },
    { name: "server's memory before, at most, a minute after it", value: `${mb} MB resident` },
    { name: "  and what the page says", value: named },
  ];
}

async function alarmOf(httpUrl: string): Promise<string> {
  const untilMs = Date.now() + namedWithinMs;
  while (Date.now() < untilMs) {
    const { alarms } = await call<YardView>(`${httpUrl}/api/v1/yard`, "GET");
    const found = alarms.find(({ subject }) => subject === "yard/flood");
    if (found !== undefined) return found.text;
    await delay(1000);
  }
  return "nothing: MISSED";
}
