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
  /** Median of the two minutes that end ten minutes after `fromMs`; NaN for a shorter run. */
  afterTenMinutesMb: number;
  /** Median of the last two minutes. */
  atEndMb: number;
  /** Medians of each ten minutes of the whole run. */
  byTenMinutesMb: number[];
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
    /** `fromMs`: since when the programs were let live, as one that begins anew shows no growth. */
    figures(fromMs: number): MemoryFigure[] {
      return watched.map(({ program, samples }) => {
        const endMs = samples.at(-1)?.atMs ?? beganMs;
        const between = (sinceMs: number, untilMs: number) =>
          median(
            samples.filter(({ atMs }) => atMs >= sinceMs && atMs <= untilMs).map(({ mb }) => mb),
          );
        const tens = Math.ceil((endMs - beganMs) / (10 * msPerMinute));
        return {
          program,
          afterTenMinutesMb: between(fromMs + 8 * msPerMinute, fromMs + 10 * msPerMinute),
          atEndMb: between(endMs - 2 * msPerMinute, endMs),
          byTenMinutesMb: Array.from({ length: tens }, (_, ten) =>
            between(beganMs + 10 * ten * msPerMinute, beganMs + 10 * (ten + 1) * msPerMinute),
          ),
          highestMb: Math.max(...samples.map(({ mb }) => mb)),
        };
      });
    },
  };
}
