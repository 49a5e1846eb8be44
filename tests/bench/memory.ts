// Resident memory of server and board program at rest, with twelve buckets and a day of readings.
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync } from "mqtt";
import type { YardView } from "../../shared/wire/api.ts";
import { boardTopic } from "../../shared/wire/topics.ts";
import { call, makeFolder, residentMb, startBoard, startServer } from "./child.ts";
import type { Figure } from "./figures.ts";

const restMs = 20_000;
const cells = 12;
const packMinutes = 30;

export async function memory(): Promise<Figure[]> {
  const folder = makeFolder();
  const first = await startServer(folder.path);
  await fill(first.httpUrl, first.mqttUrl);
  await first.stop();
  const server = await startServer(folder.path);
  const board = startBoard(`${folder.path}/board`, server.mqttUrl);
  await delay(restMs);
  const [serverMb, boardMb] = [residentMb(server), residentMb(board)];
  await requireData(server.httpUrl);
  await board.stop();
  await server.stop();
  folder.remove();
  return [
    {
      name: "server 20 s after start, a day of 12 buckets, resident",
      value: `${serverMb.toFixed(0)} MB`,
      goal: { text: "under 120 MB", reached: serverMb < 120 },
    },
    {
      name: "board program 20 s after start, resident",
      value: `${boardMb.toFixed(0)} MB`,
      goal: { text: "under 80 MB", reached: boardMb < 80 },
    },
  ];
}

/** Or the figures would be of programs that have nothing to do. */
async function requireData(httpUrl: string): Promise<void> {
  const { buckets, boards } = await call<YardView>(`${httpUrl}/api/v1/yard`, "GET");
  const filled = buckets.filter(({ volumeL }) => (volumeL ?? 0) > 2).length;
  const online = boards.filter(({ online }) => online).length;
  if (filled !== cells || online !== 2) {
    throw new Error(
      `memory requires ${cells} filled buckets and 2 boards, got ${filled}, ${online}`,
    );
  }
}

async function fill(httpUrl: string, mqttUrl: string): Promise<void> {
  const fromMs = Date.now() - 24 * 3_600_000;
  for (let cell = 1; cell <= cells; cell += 1) {
    await call(`${httpUrl}/api/v1/buckets`, "POST", {
      label: `Pail ${cell}`,
      cell: `bench/cell-${cell}`,
      capacityL: 11,
      emptyKg: 0.8,
      fromMs,
    });
  }
  const client = await connectAsync(mqttUrl);
  for (let packMs = fromMs; packMs < Date.now() - 60_000; packMs += packMinutes * 60_000) {
    const records: object[] = [{ bn: "bench/", bt: packMs / 1000, n: "probe/air", u: "Cel", v: 4 }];
    for (let t = 0; t < packMinutes * 60; t += 30) {
      const grown = (packMs + t * 1000 - fromMs) / 3.6e7;
      for (let cell = 1; cell <= cells; cell += 1) {
        records.push({ n: `cell-${cell}/mass`, u: "kg", t, v: 0.8 + grown });
      }
    }
    await client.publishAsync(boardTopic("bench", "readings"), JSON.stringify(records), { qos: 1 });
  }
  await client.endAsync();
}
