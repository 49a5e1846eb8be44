// Looks at the memory of programs again and again, and sums up minute by minute.
import { median } from "../bench/figures.ts";
import { residentMb } from "./stage.ts";

const everyMs = 2000;
const msPerMinute = 60_000;
/** Younger programs still load what they need. */
const grownUpMs = 15_000;

type Sample = { atMs: number; mb: number };

export type MemoryFigure = {
  program: string;
  /** Median of the minute that ends ten minutes after the start; NaN for a shorter run. */
  afterTenMinutesMb: number;
  /** Median of the last two minutes. */
  atEndMb: number;
  highestMb: number;
};

/** Begins at once; `programs` are asked for their process each time, as it changes. */
export function createMemoryWatch(programs: Record<string, () => number | undefined>) {
  const beganMs = Date.now();
  const watched = Object.entries(programs).map(([program, pid]) => {
    const samples: Sample[] = [];
    const since = { pid: pid(), atMs: beganMs };
    const look = () => {
      const now = { pid: pid(), atMs: Date.now() };
      if (now.pid !== since.pid) Object.assign(since, now);
      const mb = residentMb(now.pid);
      if (Number.isFinite(mb) && now.atMs - since.atMs > grownUpMs)
        samples.push({ atMs: now.atMs, mb });
    };
    return { program, samples, look };
  });
  const looking = setInterval(() => {
    for (const { look } of watched) look();
  }, everyMs);
  return {
    stop: () => clearInterval(looking),
    figures(): MemoryFigure[] {
      return watched.map(({ program, samples }) => {
        const endMs = samples.at(-1)?.atMs ?? beganMs;
        const between = (fromMs: number, untilMs: number) =>
          median(
            samples.filter(({ atMs }) => atMs >= fromMs && atMs <= untilMs).map(({ mb }) => mb),
          );
        return {
          program,
          afterTenMinutesMb: between(beganMs + 8 * msPerMinute, beganMs + 10 * msPerMinute),
          atEndMb: between(endMs - 2 * msPerMinute, endMs),
          highestMb: Math.max(...samples.map(({ mb }) => mb)),
        };
      });
    },
  };
}
