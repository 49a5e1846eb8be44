// Resident memory of server and board program at rest, with twelve buckets and a day of readings.
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync } from "mqtt";
import type { YardView } from "../../shared/wire/api.ts";
import { boardTopic } from "../../shared/wire/topics.ts";
import {
  call,
  makeFolder,
  residentMb,
  type ServerChild,
  startBoard,
  startServer,
} from "./child.ts";
import { type Figure, median, withRange } from "./figures.ts";

type AtRest = { serverMb: number; boardMb: number };

/** From run to run it differs by a fifth, as the collector happens to run. */
const rounds = 3;
const restMs = 20_000;
/** A pack may hold only so much: half an hour of twelve buckets. */
const readingsPerPack = 720;
const stepS = 30;
const goals = { serverMb: 120, boardMb: 80 };

export async function memory(): Promise<Figure[]> {
  const rests: AtRest[] = [];
  for (let round = 0; round < rounds; round += 1) rests.push(await atRest(12));
  const fifty = await atRest(50);
  const server = (buckets: number, runs: string) =>
    `server ${restMs / 1000} s after start, a day of ${buckets} buckets${runs}`;
  return [
    figure(server(12, ""), mbOf(rests, "serverMb"), goals.serverMb),
    figure(server(50, ", one run"), [fifty.serverMb], goals.serverMb),
    figure(`board program ${restMs / 1000} s after start`, mbOf(rests, "boardMb"), goals.boardMb),
  ];
}

function mbOf(rests: readonly AtRest[], which: keyof AtRest): number[] {
  return rests.map((rest) => rest[which]);
}

function figure(name: string, mbs: number[], goalMb: number): Figure {
  const goal = { text: `under ${goalMb} MB`, reached: median(mbs) < goalMb };
  return { name, value: `${withRange(mbs, (mb) => mb.toFixed(0))} MB resident`, goal };
}

async function atRest(buckets: number): Promise<AtRest> {
  const folder = makeFolder();
  const first = await startServer(folder.path);
  await fill(first, buckets);
  await first.stop();
  const server = await startServer(folder.path);
  const board = startBoard(`${folder.path}/board`, server.mqttUrl);
  await delay(restMs);
  const resident = { serverMb: residentMb(server), boardMb: residentMb(board) };
  await requireData(server.httpUrl, buckets);
  await board.stop();
  await server.stop();
  folder.remove();
  return resident;
}

/** Or the figures would be of programs that have nothing to do. */
async function requireData(httpUrl: string, cells: number): Promise<void> {
  const { buckets, boards } = await call<YardView>(`${httpUrl}/api/v1/yard`, "GET");
  const filled = buckets.filter(({ volumeL }) => (volumeL ?? 0) > 2).length;
  const online = boards.filter(({ online }) => online).length;
  if (filled !== cells || online !== 2) {
    throw new Error(
      `memory requires ${cells} filled buckets and 2 boards, got ${filled}, ${online}`,
    );
  }
}

async function fill({ httpUrl, mqttUrl }: ServerChild, cells: number): Promise<void> {
  const packMs = Math.floor(readingsPerPack / cells) * stepS * 1000;
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
  for (let beganMs = fromMs; beganMs + packMs < Date.now(); beganMs += packMs) {
    const records: object[] = [
      { bn: "bench/", bt: beganMs / 1000, n: "probe/air", u: "Cel", v: 4 },
    ];
    for (let t = 0; t < packMs / 1000; t += stepS) {
      const grown = (beganMs + t * 1000 - fromMs) / 3.6e7;
      for (let cell = 1; cell <= cells; cell += 1) {
        records.push({ n: `cell-${cell}/mass`, u: "kg", t, v: 0.8 + grown });
      }
    }
    await client.publishAsync(boardTopic("bench", "readings"), JSON.stringify(records), { qos: 1 });
  }
  await client.endAsync();
}
