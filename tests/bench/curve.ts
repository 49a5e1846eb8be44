// A sixty-day curve of one bucket out of fifty, over HTTP.
import type { Curve } from "../../shared/wire/api.ts";
import { startServer } from "./child.ts";
import { type Figure, quantile } from "./figures.ts";
import { bucketWithReadings, dayMs, fromMs, makeSeason, untilMs } from "./season.ts";

const calls = 100;
const callsToWarmUp = 10;
const goalMs = 20;
const fewestPoints = 1400;

export async function curve(): Promise<Figure[]> {
  const folder = await makeSeason();
  const server = await startServer(folder.path);
  const url = `${server.httpUrl}/api/v1/buckets/pail-${bucketWithReadings}/curve`;
  const season = await timed(`${url}?fromMs=${fromMs}&toMs=${untilMs}`);
  const day = await timed(`${url}?fromMs=${untilMs - dayMs}&toMs=${untilMs}&stepMs=60000`);
  await server.stop();
  folder.remove();
  const p95 = quantile(season, 0.95);
  return [
    {
      name: "60-day curve of one bucket of 50, p50",
      value: `${quantile(season, 0.5).toFixed(1)} ms`,
    },
    {
      name: "60-day curve of one bucket of 50, p95",
      value: `${p95.toFixed(1)} ms`,
      goal: { text: `under ${goalMs} ms`, reached: p95 < goalMs },
    },
    {
      name: "24 h at a minute's steps, from readings at 30 s, p50 / p95",
      value: `${quantile(day, 0.5).toFixed(1)} / ${quantile(day, 0.95).toFixed(1)} ms`,
    },
  ];
}

async function timed(url: string): Promise<number[]> {
  const times: number[] = [];
  for (let index = 0; index < calls + callsToWarmUp; index += 1) {
    const beganMs = performance.now();
    const answer = await fetch(url);
    const text = await answer.text();
    if (!answer.ok) throw new Error(text);
    if (index >= callsToWarmUp) times.push(performance.now() - beganMs);
    if (index === 0) requirePoints(JSON.parse(text) as Curve);
  }
  return times;
}

function requirePoints({ flowLPerH }: Curve): void {
  const points = flowLPerH.filter((flow) => flow !== null).length;
  if (points < fewestPoints) {
    throw new Error(`curve requires ${fewestPoints} points or more, got ${points}`);
  }
}
