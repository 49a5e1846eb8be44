// What may run into a bucket in the hours ahead: supposed trees, each under one of the weathers to expect.
import { msPerHour } from "../../../shared/units.ts";
import type { AirPoint } from "../keeping/air-ahead.ts";
import { sunlightWM2 } from "./air-past.ts";
import { airPathsAhead } from "./air-paths.ts";
import { type BrimMemory, noonHourFrom, strengthOf } from "./memory.ts";
import type { AirScale } from "./outlook-errors.ts";
import {
  blankParticle,
  drawPlaces,
  type Particle,
  type Particles,
  readParticle,
  weightsOf,
} from "./particles.ts";
import type { Draws } from "./random.ts";
import { spoutOpen, stepWood, type WoodStep } from "./wood.ts";

/** A tree of the yard to borrow from, and how strong this one is against it. */
export type Lender = { memory: BrimMemory; strength: number };

export type TreesAheadInput = {
  fromMs: number;
  memory: BrimMemory;
  lenders: readonly Lender[];
  outlook: readonly AirPoint[];
  flowNow: { meanGPerH: number; sdGPerH: number };
  /** Spread of a path as a whole, as a logarithm. */
  pathLogSd: number;
  airScale: AirScale;
  draws: Draws;
  stepMs: number;
  steps: number;
};

const memberCount = 160;
const airPaths = 40;
const slotsPerDay = 144;
/** Days after which a tree needs no other to be told by. */
const ownDays = 3;
/** Hours in which what the supposed tree misses of the flow of now fades. */
const relaxH = 2;
const nothingGPerH = 0.5;

/** Inflow in g up to each step ahead, one row a member; all equally likely. */
export function treesAhead(input: TreesAheadInput): Float64Array[] {
  const { memory, draws, fromMs, stepMs, steps } = input;
  const { air: past, airC } = memory;
  const { outlook, airScale } = input;
  const noonHour = noonHourFrom(memory);
  const paths = airPathsAhead({
    fromMs,
    airC,
    past,
    noonHour,
    outlook,
    airScale,
    steps,
    stepMs,
    count: airPaths,
    draws,
  });
  const sun = Float64Array.from({ length: steps }, (_, step) =>
    sunlightWM2(fromMs + (step + 0.5) * stepMs, noonHour),
  );
  const tree = blankParticle();
  return drawTrees(input).map(({ particles, place, strength }, index) => {
    readParticle(particles, place, tree);
    tree.fullG *= strength;
    tree.storeG *= strength;
    const airAhead = paths[index % paths.length] ?? sun;
    return inflowOf(tree, { ...input, airAhead, sun });
  });
}

/** A supposed tree: its place among those that a tree of the yard was taught by. */
type Drawn = { particles: Particles; place: number; strength: number };

/** The tree's own particles by weight, and while it is new, those of the yard in their stead. */
function drawTrees({ memory, lenders, draws }: TreesAheadInput): Drawn[] {
  const ownShare = lenders.length === 0 ? 1 : ownShareOf(memory);
  const ownCount = Math.round(ownShare * memberCount);
  const toGo = memberCount - ownCount;
  const borrowed = lenders.flatMap((lender, index) => {
    const until = Math.floor(((index + 1) * toGo) / lenders.length);
    const count = until - Math.floor((index * toGo) / lenders.length);
    return drawFrom(lender, count, draws);
  });
  return [...drawFrom({ memory, strength: 1 }, ownCount, draws), ...borrowed];
}

/** How far a tree is told by what it taught itself, 0-1. */
export function ownShareOf({ learntSlots }: BrimMemory): number {
  return Math.min(1, learntSlots / slotsPerDay / ownDays);
}

function drawFrom({ memory, strength }: Lender, count: number, draws: Draws): Drawn[] {
  const particles = memory.trees;
  const places = drawPlaces(weightsOf(particles), count, draws.uniform());
  const size = strength * strengthOf(memory);
  return places.map((place) => ({ particles, place, strength: size }));
}

type OneTree = TreesAheadInput & { airAhead: Float64Array; sun: Float64Array };

function inflowOf(tree: Particle, input: OneTree): Float64Array {
  const { steps, stepMs, draws, flowNow } = input;
  const stepH = stepMs / msPerHour;
  const step: WoodStep = { airC: 0, sunWM2: 0, stepH };
  const inflowG = new Float64Array(steps + 1);
  const size = Math.exp(input.pathLogSd * draws.normal());
  const nowGPerH = Math.max(0, flowNow.meanGPerH + flowNow.sdGPerH * draws.normal());
  const kept = Math.exp(-stepH / relaxH);
  let missedGPerH = 0;
  let sumG = 0;
  for (let index = 0; index < steps; index += 1) {
    step.airC = input.airAhead[index] ?? 0;
    step.sunWM2 = input.sun[index] ?? 0;
    const toldGPerH = stepWood(tree, step, draws);
    missedGPerH = index === 0 ? nowGPerH - toldGPerH * size : missedGPerH * kept;
    const isMissed = Math.abs(missedGPerH) > nothingGPerH;
    const nowPartGPerH = isMissed ? missedGPerH * spoutOpen(tree, step) : 0;
    sumG += Math.max(0, toldGPerH * size + nowPartGPerH) * stepH;
    inflowG[index + 1] = sumG;
  }
  return inflowG;
}
