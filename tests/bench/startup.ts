// From starting the program to its first answer, with a new store and with a season in it.
import { type Folder, makeFolder, startServer } from "./child.ts";
import { type Figure, median, withRange } from "./figures.ts";
import { makeSeason } from "./season.ts";

const rounds = 5;
const goalMs = 1500;

export async function startup(): Promise<Figure[]> {
  const season = await makeSeason();
  const fresh: number[] = [];
  const full: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    const folder = makeFolder();
    fresh.push(await startMs(folder));
    folder.remove();
    full.push(await startMs(season));
  }
  season.remove();
  return [
    figure("start to first answer, new store", fresh),
    figure("start to first answer, a season of 50 buckets", full),
  ];
}

async function startMs({ path }: Folder): Promise<number> {
  const beganMs = performance.now();
  const server = await startServer(path);
  const { ok } = await fetch(`${server.httpUrl}/healthz`);
  const tookMs = performance.now() - beganMs;
  await server.stop();
  if (!ok) throw new Error("server requires to be healthy at start, got an error");
  return tookMs;
}

function figure(name: string, times: number[]): Figure {
  return {
    name,
    value: `${withRange(times, (time) => time.toFixed(0))} ms`,
    goal: { text: `under ${goalMs / 1000} s`, reached: median(times) < goalMs },
  };
}
