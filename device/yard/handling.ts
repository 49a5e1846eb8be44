// What people and animals do to the buckets of a simulated day: the evening round, lifts, bumps, leans.
import { msPerDay, msPerHour, msPerMinute } from "../../shared/units.ts";
import { createRandom, type Random, subSeed } from "./random.ts";

export type Touch = {
  kind: "gather" | "lift" | "bump" | "lean";
  /** Milliseconds of the yard's wall clock, as are all times here. */
  fromWallMs: number;
  toWallMs: number;
  /** What presses on the cell meanwhile; for a gathering, the rest left in the bucket. */
  massG: number;
};

export type DayOfBucket = {
  seed: number;
  /** Days of the wall clock since the epoch. */
  day: number;
  /** Place of the bucket in the round, from 0. */
  place: number;
};

const roundChance = 0.8;
const msPerVisit = 2.2 * msPerMinute;

/** The touches of one bucket on one day in order of time, none overlapping another. */
export function touchesOfDay({ seed, day, place }: DayOfBucket): Touch[] {
  const random = createRandom(subSeed(seed, "handling", day, place));
  const touches = [
    ...gathering({ seed, day, place }, random),
    ...sometimes(random, { kind: "lift", perDay: 0.05, seconds: [15, 40], massG: [0, 0] }, day),
    ...sometimes(random, { kind: "bump", perDay: 0.2, seconds: [3, 8], massG: [-300, 600] }, day),
    ...sometimes(
      random,
      { kind: "lean", perDay: 0.08, seconds: [30, 150], massG: [900, 4000] },
      day,
    ),
  ].sort((a, b) => a.fromWallMs - b.fromWallMs);
  return touches.filter((touch, index) => {
    const before = touches[index - 1];
    return before === undefined || before.toWallMs < touch.fromWallMs;
  });
}

/** Most evenings one person walks from bucket to bucket, from about half past five on. */
function gathering({ seed, day, place }: DayOfBucket, random: Random): Touch[] {
  const round = createRandom(subSeed(seed, "round", day));
  const goes = round.uniform() < roundChance;
  const startH = 17.3 + 0.5 * round.uniform();
  const restG = 20 + 60 * random.uniform();
  const lastsMs = Math.round((30 + 30 * random.uniform()) * 1000);
  if (!goes) return [];
  const fromWallMs = Math.round(day * msPerDay + startH * msPerHour + place * msPerVisit);
  return [{ kind: "gather", fromWallMs, toWallMs: fromWallMs + lastsMs, massG: restG }];
}

type Kind = {
  kind: Touch["kind"];
  perDay: number;
  seconds: readonly [number, number];
  massG: readonly [number, number];
};

function sometimes(random: Random, kind: Kind, day: number): Touch[] {
  const between = ([low, high]: readonly [number, number]) => low + (high - low) * random.uniform();
  const happens = random.uniform() < kind.perDay;
  const fromWallMs = Math.round(day * msPerDay + between([7, 20]) * msPerHour);
  const lastsMs = Math.round(between(kind.seconds) * 1000);
  const massG = between(kind.massG);
  return happens ? [{ kind: kind.kind, fromWallMs, toWallMs: fromWallMs + lastsMs, massG }] : [];
}

/** A touch begins or ends; `atMs` is epoch time. */
export type TouchEdge = { atMs: number; touch: Touch; begins: boolean };

export type TouchEdgesSettings = {
  seed: number;
  place: number;
  startMs: number;
  wallOffsetMs: number;
};

/** The begins and ends of all touches, day after day, in order. */
export function createTouchEdges({ seed, place, startMs, wallOffsetMs }: TouchEdgesSettings): {
  nextMs(): number;
  take(): TouchEdge;
} {
  let day = Math.floor((startMs + wallOffsetMs) / msPerDay);
  let edges: TouchEdge[] = [];
  const first = (): TouchEdge => {
    for (;;) {
      const next = edges[0];
      if (next !== undefined) return next;
      edges = touchesOfDay({ seed, day, place })
        .flatMap((touch) => [
          { atMs: touch.fromWallMs - wallOffsetMs, touch, begins: true },
          { atMs: touch.toWallMs - wallOffsetMs, touch, begins: false },
        ])
        .filter((_, index, all) => (all[index - (index % 2)]?.atMs ?? 0) >= startMs);
      day += 1;
    }
  };
  return {
    nextMs: () => first().atMs,
    take(): TouchEdge {
      const next = first();
      edges.shift();
      return next;
    },
  };
}
