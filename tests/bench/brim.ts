// What a brim forecast costs, and a whole season of them: twelve trees, each judged every hour.

import { createRandom } from "../../device/yard/random.ts";
import type { BucketSetup, Slot } from "../../server/domain/bucket.ts";
import {
  advanceTrack,
  brimPastOf,
  startTrack,
  type Track,
  trackWithSlot,
} from "../../server/domain/track.ts";
import { assess } from "../../server/watch/assess.ts";
import { type Figure, median, withRange } from "./figures.ts";

const trees = 12;
const seasonDays = 42;
const rounds = 7;
const forecastsARound = 50;
const goals = { forecastMs: 5, seasonS: 60 };
const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const slotMs = 600_000;
const everyMs = 30_000;
const startMs = Date.UTC(2026, 2, 1);
const setup: BucketSetup = { emptyG: 800, capacityG: 11_000 };

export function brim(): Figure[] {
  const tracks = Array.from({ length: trees }, (_, tree) => livedFor(10, tree));
  const forecasts = Array.from({ length: rounds }, () => forecastMs(tracks));
  const seasonS = seasonSeconds();
  return [
    {
      name: "one tree's forecast and decision",
      value: `${withRange(forecasts, (ms) => ms.toFixed(1))} ms`,
      goal: { text: `under ${goals.forecastMs} ms`, reached: median(forecasts) < goals.forecastMs },
    },
    {
      name: `${seasonDays} days x ${trees} trees, every reading, a forecast an hour`,
      value: `${seasonS.toFixed(0)} s`,
      goal: { text: `under ${goals.seasonS} s`, reached: seasonS < goals.seasonS },
    },
  ];
}

function airAt(atMs: number): number {
  return 1 + 6 * Math.cos((((atMs % dayMs) - 14 * hourMs) / dayMs) * 2 * Math.PI);
}

function flowAt(atMs: number, tree: number): number {
  const hour = (atMs % dayMs) / hourMs;
  return hour > 10 && hour < 19 ? (300 + 40 * tree) * Math.sin(((hour - 10) / 9) * Math.PI) : 0;
}

function livedFor(days: number, tree: number): Track {
  let track: Track = { ...startTrack(), hangingId: tree + 1 };
  for (let atMs = startMs - days * dayMs + slotMs; atMs <= startMs; atMs += slotMs) {
    const flowGPerH = flowAt(atMs, tree);
    const slot: Slot = {
      atMs,
      netG: 5000,
      inflowG: flowGPerH / 6,
      flowGPerH,
      lowGPerH: flowGPerH - 20,
      highGPerH: flowGPerH + 20,
      airC: airAt(atMs),
      full: false,
    };
    track = trackWithSlot(track, slot, setup);
  }
  const reading = { atMs: startMs, massG: setup.emptyG + 6000, airC: airAt(startMs) };
  for (let step = 0; step < 30; step += 1) {
    track = advanceTrack(track, { ...reading, atMs: startMs + step * everyMs }, setup).track;
  }
  return track;
}

function judge(tracks: readonly Track[], tree: number, nowMs: number): boolean {
  const track = tracks[tree] ?? startTrack();
  const { decision } = assess({
    nowMs,
    bucketId: `bench-${tree}`,
    track,
    setup,
    role: "sap",
    fault: null,
    visits: { nextMs: nowMs + hourMs, afterMs: nowMs + 5 * hourMs, overnight: false },
    warnProbability: 0.15,
    yard: tracks.filter((other) => other !== track).map(brimPastOf),
    outlook: Array.from({ length: 48 }, (_, index) => {
      const atMs = nowMs + (index - 1) * hourMs;
      return { atMs, airC: airAt(atMs) };
    }),
  });
  return decision !== null;
}

/** Time of the processor, not of the clock: what else the machine does is not the forecast's. */
function forecastMs(tracks: readonly Track[]): number {
  const began = process.cpuUsage();
  for (let index = 0; index < forecastsARound; index += 1) {
    if (!judge(tracks, index % trees, startMs + index * everyMs + 15 * 60_000)) {
      throw new Error("forecast bench requires decisions, got none");
    }
  }
  return process.cpuUsage(began).user / 1000 / forecastsARound;
}

/** Scattered by 5 g, and emptied at dawn. */
function createWeights(): (tree: number, atMs: number) => number {
  const random = createRandom(1);
  const netG = new Float64Array(trees).fill(500);
  return (tree, atMs) => {
    const grownG = (netG[tree] ?? 0) + (flowAt(atMs, tree) * everyMs) / hourMs;
    const nextG = atMs % dayMs === 6 * hourMs ? 50 : grownG;
    netG[tree] = nextG;
    return setup.emptyG + nextG + 5 * random.normal();
  };
}

function seasonSeconds(): number {
  const weigh = createWeights();
  const tracks: Track[] = Array.from({ length: trees }, startTrack);
  let judged = 0;
  const began = process.cpuUsage();
  for (let atMs = startMs; atMs < startMs + seasonDays * dayMs; atMs += everyMs) {
    for (let tree = 0; tree < trees; tree += 1) {
      const massG = weigh(tree, atMs);
      const track = tracks[tree] ?? startTrack();
      tracks[tree] = advanceTrack(track, { atMs, massG, airC: airAt(atMs) }, setup).track;
      if (atMs % hourMs === 0) judged += Number(judge(tracks, tree, atMs));
    }
  }
  const seconds = process.cpuUsage(began).user / 1e6;
  if (judged < 0.9 * trees * seasonDays * 24) {
    throw new Error(`season requires a decision an hour, got ${judged}`);
  }
  return seconds;
}
