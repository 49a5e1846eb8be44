// What was seen since a bucket's weight left where sap alone would have brought it.
import type { BucketReading, BucketSetup } from "../bucket.ts";

/** The last level that was accepted, gross, freed from the drift. */
export type Accepted = { atMs: number; massG: number; varianceG2: number };

/** JSON-safe. */
export type Excursion = {
  sinceMs: number;
  /** Readings that were taken for no level, and how far they strayed. */
  count: number;
  lowestG: number;
  highestG: number;
  /** Readings with the bucket off its cell, and the time they stand for. */
  awayCount: number;
  awayMs: number;
  awayNow: boolean;
  /** What was there before. */
  before: Accepted;
  /** Once stepped: what sap alone would have brought by now, gross, and how sure that was at the step. */
  expectedG: number;
  expectedVarianceG2: number;
  /** First reading at a level of its own; null while there is none. */
  steppedMs: number | null;
  /** So long a time went by unheard that what flowed in it cannot be told. */
  longUnheard: boolean;
};

const mostAboveRimG = 3000;
const bareCellToleranceG = 60;

/** Gross weight below which the bucket cannot be hanging on its cell. */
export function awayBelowG(setup: BucketSetup): number {
  return Math.min(setup.emptyG / 2, setup.emptyG - 100);
}

/** True for a weight that a bucket may come to rest at. */
export function isPlausibleLevel(massG: number, setup: BucketSetup): boolean {
  return massG >= awayBelowG(setup) && massG <= setup.emptyG + setup.capacityG + mostAboveRimG;
}

export function startExcursion(before: Accepted, atMs: number): Excursion {
  return {
    sinceMs: atMs,
    count: 0,
    lowestG: before.massG,
    highestG: before.massG,
    awayCount: 0,
    awayMs: 0,
    awayNow: false,
    before,
    expectedG: before.massG,
    expectedVarianceG2: before.varianceG2,
    steppedMs: null,
    longUnheard: false,
  };
}

/** The excursion with one more reading that stands for no level; elapsedMs since the one before. */
export function strayed(
  excursion: Excursion,
  reading: BucketReading,
  { elapsedMs, setup }: { elapsedMs: number; setup: BucketSetup },
): Excursion {
  const awayNow = reading.massG < awayBelowG(setup);
  return {
    sinceMs: excursion.sinceMs,
    count: excursion.count + 1,
    lowestG: Math.min(excursion.lowestG, reading.massG),
    highestG: Math.max(excursion.highestG, reading.massG),
    awayCount: excursion.awayCount + (awayNow ? 1 : 0),
    awayMs: excursion.awayMs + (awayNow ? elapsedMs : 0),
    awayNow,
    before: excursion.before,
    expectedG: excursion.expectedG,
    expectedVarianceG2: excursion.expectedVarianceG2,
    steppedMs: null,
    longUnheard: excursion.longUnheard,
  };
}

/** The excursion come to a level of its own, with what sap alone would have brought. */
export function stepped(
  excursion: Excursion,
  expected: { massG: number; p00: number },
  atMs: number,
): Excursion {
  return {
    sinceMs: excursion.sinceMs,
    count: excursion.count,
    lowestG: excursion.lowestG,
    highestG: excursion.highestG,
    awayCount: excursion.awayCount,
    awayMs: excursion.awayMs,
    awayNow: false,
    before: excursion.before,
    expectedG: expected.massG,
    expectedVarianceG2: expected.p00,
    steppedMs: atMs,
    longUnheard: excursion.longUnheard,
  };
}

/** True when the bucket surely left its cell, not only one stray weight. */
export function wasLifted({ awayCount, lowestG }: Excursion): boolean {
  return awayCount > 1 || (awayCount === 1 && Math.abs(lowestG) < bareCellToleranceG);
}

/** After this nothing but a level of its own is believed: a bucket never hangs back quite as it hung. */
export function needsNewLevel(excursion: Excursion | null): boolean {
  return (
    excursion !== null &&
    excursion.steppedMs === null &&
    (excursion.longUnheard || wasLifted(excursion))
  );
}
