// Holds the sap that was booked day by day against what really ran into the bucket.
import { knotMs } from "./season-weather.ts";
import type { Followed } from "./yard.ts";

export type VolumeFigures = {
  days: number;
  /** Error of days with a run, as shares of what ran. */
  median: number;
  p90: number;
  quietDays: number;
  quietMedianG: number;
  quietP90G: number;
};

const gPerL = 1007.9;
const dayMs = 86_400_000;
const leastRunL = 0.5;
const mostQuietL = 0.02;

/** Days that brimmed over are left out: what was lost no cell can tell. */
export function createVolumeScore() {
  const shares: number[] = [];
  const quietG: number[] = [];
  return {
    take(followed: Followed, { startMs, days }: { startMs: number; days: number }): void {
      for (let day = 1; day < days; day += 1) {
        const cameG = cameOn(followed, day);
        if (cameG === undefined) continue;
        const errorG = Math.abs(bookedG(followed, startMs + day * dayMs) - cameG);
        if (cameG > leastRunL * gPerL) shares.push(errorG / cameG);
        if (cameG < mostQuietL * gPerL) quietG.push(errorG);
      }
    },
    figures(): VolumeFigures {
      return {
        days: shares.length,
        median: quantile(shares, 0.5),
        p90: quantile(shares, 0.9),
        quietDays: quietG.length,
        quietMedianG: quantile(quietG, 0.5),
        quietP90G: quantile(quietG, 0.9),
      };
    },
  };
}

/** Undefined for a day that brimmed over. */
function cameOn({ truth: { inflowG, lostG } }: Followed, day: number): number | undefined {
  const first = (day * dayMs) / knotMs;
  const last = first + dayMs / knotMs;
  if (lostG.subarray(first + 1, last + 1).some((lost) => lost > 0)) return undefined;
  return (inflowG[last] ?? 0) - (inflowG[first] ?? 0);
}

function bookedG({ slots }: Followed, fromMs: number): number {
  return slots
    .filter(({ atMs }) => atMs > fromMs && atMs <= fromMs + dayMs)
    .reduce((sum, { inflowG }) => sum + inflowG, 0);
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
