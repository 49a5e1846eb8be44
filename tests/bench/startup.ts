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
    const { ok } = await fetch(`${server.httpUrl}/healthz`);
    if (!ok) throw new Error("server requires to be healthy at start, got an error");
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
