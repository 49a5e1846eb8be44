// The simulated yard as a source of raw windows: weather above, a station under each tree.

import { msPerDay } from "../../shared/units.ts";
import type { Calibration } from "../scale/calibration.ts";
import type { RawWindow } from "../scale/sampler.ts";
import type { Surroundings, WindowSource } from "../source.ts";
import type { BucketTotals } from "./bucket.ts";
import { type SimulatedBucket, simulatedPlan } from "./plan.ts";
import { createRandom, subSeed } from "./random.ts";
import { createStation, type Station } from "./station.ts";
import type { Tape } from "./truth.ts";
import type { WeatherSource } from "./weather.ts";

export type YardSettings = {
  seed: number;
  startMs: number;
  /** What to add to UTC for the yard's wall clock. */
  wallOffsetMs: number;
  weather: WeatherSource;
  tape?: Tape;
};

export type YardSource = Omit<WindowSource, "cells" | "windowAt"> & {
  cells: readonly { cell: string; calibration: Calibration }[];
  windowAt(cell: string, atMs: number): RawWindow | undefined;
};

export type Yard = {
  boards: readonly string[];
  sourceOf(board: string): YardSource;
  totals(): BucketTotals;
};

/** About 107 counts to the gram: a 40 kg cell of 2 mV/V at gain 128. */
function calibrationOf(seed: number, { board, cell }: SimulatedBucket) {
  const random = createRandom(subSeed(seed, "calibration", board, cell));
  return {
    zeroCounts: Math.round(40_000 * random.normal()),
    countsPerG: 107.374 * (1 + 0.01 * random.normal()),
  };
}

export function createYard(settings: YardSettings): Yard {
  const places = simulatedPlan.map((bucket, place) => {
    const calibration = calibrationOf(settings.seed, bucket);
    const station = createStation({ ...settings, bucket, place, calibration });
    return { bucket, calibration, station };
  });
  const keepTogether = createPace(settings.startMs, (untilMs) => {
    for (const { station } of places) station.live(untilMs);
  });
  return {
    boards: [...new Set(places.map(({ bucket }) => bucket.board))],
    sourceOf(board) {
      const own = places.filter(({ bucket }) => bucket.board === board);
      const stations = new Map<string, Station>(
        own.map(({ bucket, station }) => [bucket.cell, station]),
      );
      const surroundingsAt = createSurroundings(settings, board);
      return {
        cells: own.map(({ bucket, calibration }) => ({ cell: bucket.cell, calibration })),
        windowAt(cell, atMs) {
          keepTogether(atMs);
          const counts = stations.get(cell)?.countsAt(atMs);
          return counts === undefined ? undefined : { cell, atMs, counts };
        },
        surroundingsAt(atMs) {
          keepTogether(atMs);
          return surroundingsAt(atMs);
        },
      };
    },
    totals() {
      const sum = { inG: 0, collectedG: 0, lostG: 0, leftG: 0 };
      for (const { station } of places) {
        const totals = station.totals();
        sum.inG += totals.inG;
        sum.collectedG += totals.collectedG;
        sum.lostG += totals.lostG;
        sum.leftG += totals.leftG;
      }
      return sum;
    },
  };
}

/** Weather is remembered for days only: no station may be asked for a time far ahead of the others. */
function createPace(startMs: number, live: (untilMs: number) => void): (atMs: number) => void {
  let reachedMs = startMs;
  return (atMs) => {
    while (reachedMs + msPerDay < atMs) {
      reachedMs += msPerDay;
      live(reachedMs);
    }
  };
}

/** The thermometer in sixteenths of a degree, the barometer in pascals, a battery under a small panel. */
function createSurroundings({ seed, weather }: YardSettings, board: string) {
  const random = createRandom(subSeed(seed, "surroundings", board));
  return (atMs: number): Surroundings => {
    const now = weather.at(atMs);
    return {
      airC: Math.round(16 * (now.airC + 0.08 * random.normal())) / 16,
      pressurePa: Math.round(now.pressurePa + 8 * random.normal()),
      supplyV: Math.round(100 * (12.4 + 0.0009 * now.solarWM2 + 0.01 * random.normal())) / 100,
    };
  };
}
