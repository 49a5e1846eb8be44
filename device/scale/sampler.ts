// One cell's sampler: makes a reading of each window of raw counts, and says when the next is due.
import { type Calibration, massKgFromCounts } from "./calibration.ts";

export type RawWindow = {
  cell: string;
  atMs: number;
  counts: readonly number[];
};

export type Reading = {
  cell: string;
  atMs: number;
  massKg: number;
  /** Median distance from the median, in kg. */
  spreadKg: number;
  /** Raw median, so that a corrected calibration can be replayed. */
  counts: number;
};

export type Sampler = {
  dueMs(): number;
  /** Nothing came of the window that was due: try again at the next. */
  miss(): void;
  take(window: RawWindow): Reading;
};

/** After a change of more than 200 g a window every 5 s for a minute, else one every `stepMs`. */
const quickStepMs = 5_000;
const quickForMs = 60_000;
const changeKg = 0.2;

export function createSampler(settings: {
  calibration: Calibration;
  firstMs: number;
  stepMs: number;
}): Sampler {
  let dueMs = settings.firstMs;
  let quickUntilMs = Number.NEGATIVE_INFINITY;
  let lastKg: number | undefined;
  const goOn = () => {
    const stepMs = dueMs < quickUntilMs ? quickStepMs : settings.stepMs;
    // On the grid of the step, so that all cells of a board meet again in one pack.
    dueMs = Math.floor(dueMs / stepMs) * stepMs + stepMs;
  };
  return {
    dueMs: () => dueMs,
    miss: goOn,
    take(window) {
      const reading = readingFromWindow(window, settings.calibration);
      if (lastKg !== undefined && Math.abs(reading.massKg - lastKg) > changeKg) {
        quickUntilMs = dueMs + quickForMs;
      }
      lastKg = reading.massKg;
      goOn();
      return reading;
    },
  };
}

/** The median of the window as weight; single wild samples do not reach it (Hampel 1974, from memory). */
export function readingFromWindow(window: RawWindow, calibration: Calibration): Reading {
  const counts = median(window.counts);
  const distance = median(window.counts.map((sample) => Math.abs(sample - counts)));
  return {
    cell: window.cell,
    atMs: window.atMs,
    massKg: massKgFromCounts(counts, calibration),
    spreadKg: distance / Math.abs(calibration.countsPerG) / 1000,
    counts,
  };
}

function median(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError("a window requires at least one sample, got none");
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? Number.NaN;
  if (sorted.length % 2 === 1) return upper;
  return Math.round((upper + (sorted[middle - 1] ?? upper)) / 2);
}
