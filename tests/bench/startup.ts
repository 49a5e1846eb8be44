// From starting the program to its first answer.
import { makeFolder, startServer } from "./child.ts";
import { type Figure, median } from "./figures.ts";

const rounds = 5;

export async function startup(): Promise<Figure[]> {
  const times: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    const folder = makeFolder();
    const beganMs = performance.now();
    const server = await startServer(folder.path);
    await fetch(`${server.httpUrl}/healthz`);
    times.push(performance.now() - beganMs);
    await server.stop();
    folder.remove();
  }
  const time = median(times);
  return [
    {
      name: "start to first answer, new store",
      value: `${time.toFixed(0)} ms`,
      goal: { text: "under 1.5 s", reached: time < 1500 },
    },
  ];
}
