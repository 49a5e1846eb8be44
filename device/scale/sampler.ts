// One cell's sampler: makes a reading of each window of raw counts, and says when the next is due.
import { type Calibration, massKgFromCounts } from "./calibration.ts";

export type RawWindow = {
  cell: string;
  atMs: number;
  counts: readonly number[];
};

/** Why there is no weight: the words of the wire. */
export type CellFault = "absent" | "saturated" | "stuck" | "uncalibrated";

export type FaultWindow = {
  cell: string;
  atMs: number;
  fault: CellFault;
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
  /** A fault for a window without weight, and for a cell that was never calibrated. */
  take(window: RawWindow | FaultWindow): Reading | FaultWindow;
  /** Counts between two windows: when they are far off, the next window is due soon. */
  notice(counts: readonly number[], atMs: number): void;
};

/** After a change of more than 200 g a window every 5 s for a minute, else one every `stepMs`. */
const quickStepMs = 5_000;
const quickForMs = 60_000;
const changeKg = 0.2;

export function createSampler(settings: {
  calibration: () => Calibration | undefined;
  firstMs: number;
  stepMs: number;
}): Sampler {
  let dueMs = settings.firstMs;
  let quickUntilMs = Number.NEGATIVE_INFINITY;
  let lastKg: number | undefined;
  let soonestMs = settings.firstMs;
  const goOn = () => {
    soonestMs = dueMs + quickStepMs;
    const stepMs = dueMs < quickUntilMs ? quickStepMs : settings.stepMs;
    // On the grid of the step, so that all cells of a board meet again in one pack.
    dueMs = Math.floor(dueMs / stepMs) * stepMs + stepMs;
  };
  /** True when this is far from the weight before. */
  const isChange = (massKg: number) => lastKg !== undefined && Math.abs(massKg - lastKg) > changeKg;
  return {
    dueMs: () => dueMs,
    miss: goOn,
    take(window) {
      const calibration = settings.calibration();
      const { cell, atMs } = window;
      if ("fault" in window || calibration === undefined) {
        goOn();
        return { cell, atMs, fault: "fault" in window ? window.fault : "uncalibrated" };
      }
      const reading = readingFromWindow(window, calibration);
      if (isChange(reading.massKg)) quickUntilMs = dueMs + quickForMs;
      lastKg = reading.massKg;
      goOn();
      return reading;
    },
    notice(counts, atMs) {
      const calibration = settings.calibration();
      if (calibration === undefined || counts.length === 0) return;
      if (!isChange(massKgFromCounts(median(counts), calibration))) return;
      // The window that is due takes the change itself, and goes on quickly from there.
      const soonMs = Math.floor(atMs / quickStepMs) * quickStepMs;
      dueMs = Math.min(dueMs, Math.max(soonestMs, soonMs));
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

export function median(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError("a window requires at least one sample, got none");
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? Number.NaN;
  if (sorted.length % 2 === 1) return upper;
  return Math.round((upper + (sorted[middle - 1] ?? upper)) / 2);
}
