// What is known while a bucket is handled: how far the weight strayed, and which new level it may settle at.
import type { BucketReading, BucketSetup } from "../bucket.ts";

/** Weights that agree with each other and could be a new level; meanG is brought forward by the flow. */
type Level = { firstMs: number; lastMs: number; lastG: number; meanG: number; count: number };

/** The last level that was accepted, gross, freed from the drift. */
export type Accepted = { atMs: number; massG: number; varianceG2: number };

/** JSON-safe. */
export type Disturbance = {
  sinceMs: number;
  lastMs: number;
  count: number;
  lowestG: number;
  highestG: number;
  /** Readings with the bucket off its cell, and the time they stand for. */
  awayCount: number;
  awayMs: number;
  awayNow: boolean;
  /** What was there before. */
  before: Accepted;
  level: Level | null;
  /** So long a time went by unheard that what flowed in it cannot be told. */
  longUnheard: boolean;
};

const settlingToleranceG = 25;
const leastLevelMs = 45_000;
const leastPairMs = 3 * 60_000;
const mostAboveRimG = 3000;
const bareCellToleranceG = 60;

/** Gross weight below which the bucket cannot be hanging on its cell. */
export function awayBelowG(setup: BucketSetup): number {
  return Math.min(setup.emptyG / 2, setup.emptyG - 100);
}

export function startDisturbance(before: Accepted, reading: BucketReading): Disturbance {
  return {
    sinceMs: reading.atMs,
    lastMs: before.atMs,
    count: 0,
    lowestG: reading.massG,
    highestG: reading.massG,
    awayCount: 0,
    awayMs: 0,
    awayNow: false,
    before,
    level: null,
    longUnheard: false,
  };
}

/** The disturbance with one more reading that belongs to it. */
export function stepDisturbance(
  disturbance: Disturbance,
  reading: BucketReading,
  known: { setup: BucketSetup; flowGPerH: number; flowSdGPerH: number; varianceG2: number },
): Disturbance {
  const awayNow = reading.massG < awayBelowG(known.setup);
  return {
    ...disturbance,
    lastMs: reading.atMs,
    count: disturbance.count + 1,
    lowestG: Math.min(disturbance.lowestG, reading.massG),
    highestG: Math.max(disturbance.highestG, reading.massG),
    awayCount: disturbance.awayCount + (awayNow ? 1 : 0),
    awayMs: disturbance.awayMs + (awayNow ? reading.atMs - disturbance.lastMs : 0),
    awayNow,
    level: isPlausibleLevel(reading, known.setup)
      ? levelWith(disturbance.level, reading, known)
      : null,
  };
}

/** True when enough weights agree to say that the weight has come to rest. */
export function isSettled(level: Level): boolean {
  const spanMs = level.lastMs - level.firstMs;
  return (
    (level.count >= 3 && spanMs >= leastLevelMs) || (level.count >= 2 && spanMs >= leastPairMs)
  );
}

/** True when the bucket surely left its cell, not only one stray weight. */
export function wasLifted(disturbance: Disturbance): boolean {
  return (
    disturbance.awayCount > 1 ||
    (disturbance.awayCount === 1 && Math.abs(disturbance.lowestG) < bareCellToleranceG)
  );
}

function isPlausibleLevel(reading: BucketReading, setup: BucketSetup): boolean {
  const mostG = setup.emptyG + setup.capacityG + mostAboveRimG;
  return reading.massG >= awayBelowG(setup) && reading.massG <= mostG;
}

function levelWith(
  level: Level | null,
  reading: BucketReading,
  known: { flowGPerH: number; flowSdGPerH: number; varianceG2: number },
): Level {
  const { atMs, massG } = reading;
  if (level === null) {
    return { firstMs: atMs, lastMs: atMs, lastG: massG, meanG: massG, count: 1 };
  }
  const durationH = (atMs - level.lastMs) / 3_600_000;
  const inflowG = known.flowGPerH * durationH;
  const toleranceG =
    settlingToleranceG +
    5 * Math.sqrt(2 * known.varianceG2) +
    3 * Math.min(known.flowSdGPerH, 500) * durationH;
  if (Math.abs(massG - level.lastG - inflowG) > toleranceG) {
    return { firstMs: atMs, lastMs: atMs, lastG: massG, meanG: massG, count: 1 };
  }
  const count = level.count + 1;
  const carriedG = level.meanG + inflowG;
  return {
    firstMs: level.firstMs,
    lastMs: atMs,
    lastG: massG,
    meanG: carriedG + (massG - carriedG) / count,
    count,
  };
}
