// How fast the filter goes through readings, what a bucket's memory costs, and what a late reading costs.
import { setTimeout as delay } from "node:timers/promises";
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import type { BucketReading, BucketSetup } from "../../server/domain/bucket.ts";
import { startFlow, stepFlow } from "../../server/domain/flow/flow.ts";
import {
  advanceTrack,
  rehangTrack,
  startTrack,
  type Track,
  trackFromJson,
  trackToJson,
} from "../../server/domain/track.ts";
import { createRandom } from "../helpers/random.ts";
import { startMs } from "../helpers/store-rig.ts";
import { commit, hang, openWatchRig, type Sample } from "../helpers/watch-rig.ts";
import { type Figure, median, wholeNumber, withRange } from "./figures.ts";

const rounds = 5;
const everyMs = 30_000;
const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const trees = 12;
const seasonDays = 42;
const tracksHeld = 60;
const lateRounds = 9;
const aloneMs = 200;
const setup: BucketSetup = { emptyG: 800, capacityG: 11_000 };
const goals = { rate: 200_000, seasonS: 10, memoryKb: 150, lateMs: 50 };

export async function filter(): Promise<Figure[]> {
  const readings = readingsOf(seasonDays, 1);
  goThrough(readings);
  const rates = Array.from({ length: rounds }, () => readings.length / secondsOf(readings));
  const seasonS = Array.from({ length: trees }, (_, tree) =>
    secondsOf(readingsOf(seasonDays, tree)),
  ).reduce((sum, seconds) => sum + seconds, 0);
  const memoryKb = memoryOfTrackKb();
  const late = await lateReadingMs();
  return [
    {
      name: "readings through the filter alone, one core, readings/s",
      value: withRange(rates, wholeNumber),
      goal: {
        text: `at least ${wholeNumber(goals.rate)}`,
        reached: median(rates) >= goals.rate,
      },
    },
    {
      name: `${seasonDays} days x ${trees} trees through the filter alone`,
      value: `${seasonS.toFixed(1)} s`,
      goal: { text: `under ${goals.seasonS} s`, reached: seasonS < goals.seasonS },
    },
    {
      name: "all that is remembered of a bucket after ten days",
      value: `${memoryKb.toFixed(0)} kB`,
      goal: { text: `under ${goals.memoryKb} kB`, reached: memoryKb < goals.memoryKb },
    },
    {
      name: "a reading a day late, until all is gone through again",
      value: `${withRange(late, (ms) => ms.toFixed(0))} ms`,
      goal: { text: `under ${goals.lateMs} ms`, reached: median(late) < goals.lateMs },
    },
  ];
}

/** Runs by day, is emptied at dawn, now and then lifted or hit by a spike; 5 g of scatter. */
function readingsOf(days: number, seed: number): BucketReading[] {
  const random = createRandom(seed + 1);
  let netG = 500;
  return Array.from({ length: (days * dayMs) / everyMs }, (_, index) => {
    const hour = ((index * everyMs) / hourMs) % 24;
    const atMs = startMs - days * dayMs + index * everyMs;
    const flowGPerH = hour > 9 && hour < 19 ? 900 * Math.sin(((hour - 9) / 10) * Math.PI) ** 2 : 0;
    netG = hour === 6 ? 50 : netG + (flowGPerH * everyMs) / hourMs;
    const isAway = hour >= 6 && hour < 6.02;
    const spikeG = random.uniform() < 0.001 ? 3000 : 0;
    const massG = (isAway ? 0 : setup.emptyG + netG + spikeG) + 5 * random.gaussian();
    const airC = 2 - 7 * Math.cos(((hour - 3) / 24) * 2 * Math.PI);
    return { atMs, massG, airC, localHour: hour };
  });
}

function goThrough(readings: readonly BucketReading[]): number {
  let state = startFlow();
  let events = 0;
  for (const reading of readings) {
    const step = stepFlow(state, reading, setup);
    state = step.state;
    events += step.events.length;
  }
  return events;
}

function secondsOf(readings: readonly BucketReading[]): number {
  const began = process.cpuUsage();
  const events = goThrough(readings);
  // Time of the processor, not of the clock: what else the machine does is not the filter's.
  const seconds = process.cpuUsage(began).user / 1e6;
  if (events < seasonDays) throw new Error(`filter requires its emptyings, got ${events} events`);
  return seconds;
}

function memoryOfTrackKb(): number {
  setFlagsFromString("--expose-gc");
  const collect = runInNewContext("gc") as () => void;
  const readings = readingsOf(10, 3);
  const track = readings.reduce(
    (before: Track, reading) => advanceTrack(before, reading, setup).track,
    rehangTrack(startTrack(), 1),
  );
  const text = trackToJson(track);
  collect();
  const beforeB = usedB();
  const held = Array.from({ length: tracksHeld }, () => trackFromJson(text));
  collect();
  const heldB = usedB() - beforeB;
  return heldB / held.length / 1000;
}

/** On the heap and beside it, where the supposed trees are. */
function usedB(): number {
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

/** In a real store and watch: one bucket with four days of readings, one of them a day late. */
async function lateReadingMs(): Promise<number[]> {
  const rig = openWatchRig();
  hang(rig, { label: "Bench", cell: "bench/cell-1" });
  const samples: Sample[] = readingsOf(4, 5).map(({ atMs, massG, airC = 0 }) => ({
    atMs,
    massG,
    airC,
  }));
  commit(rig, "bench/cell-1", samples);
  await rig.watch.settled();
  const times: number[] = [];
  for (let round = 0; round < lateRounds; round += 1) {
    const on = samples.at(-dayMs / everyMs);
    if (on === undefined) throw new Error("late reading requires a day before it, got none");
    const { atMs, massG } = on;
    const beganMs = performance.now();
    commit(rig, "bench/cell-1", [{ atMs: atMs + 1000 * (round + 1), massG }]);
    await rig.watch.settled();
    times.push(performance.now() - beganMs);
    // Readings that come thick and fast are gone through together: each of these comes alone.
    await delay(aloneMs);
  }
  rig.watch.stop();
  rig.stores.close();
  return times;
}
