// What one bucket's tree has taught so far: supposed trees by weight, and the air of the last days.
import { msPerDay, msPerHour } from "../../../shared/units.ts";
import type { Slot } from "../bucket.ts";
import { rimG } from "../flow/hypotheses.ts";
import {
  type AirPast,
  addToAirPast,
  airAtStep,
  airStepMs,
  airStepsPerDay,
  noonHourOf,
  startAirPast,
  sunlightWM2,
} from "./air-past.ts";
import {
  areWorn,
  type Particles,
  startParticles,
  stepParticles,
  toldByCharged,
  weighParticles,
} from "./particles.ts";
import { createDraws, type Draws, seedFrom } from "./random.ts";
import { renewParticles } from "./renew.ts";

/** Plain values but for the trees, which are written down as a text. */
export type BrimMemory = {
  /** Time up to which the trees have lived, null before any air temperature was heard. */
  atMs: number | null;
  airC: number;
  air: AirPast;
  /** UTC hour of noon by the yard's clock, null while nobody told. */
  clockNoonHour: number | null;
  /** Supposed trees; none before any air temperature was heard. */
  trees: Particles;
  /** Slots that were learnt from. */
  learntSlots: number;
  /** What ran and what the trees told of it, both fading over days; of trees charged by a freeze of ours alone. */
  seenG: number;
  toldG: number;
};

const stepMs = 600_000;
const stepH = stepMs / msPerHour;
/** Over a longer gap only the newest days are lived through. */
const longestGapMs = 3 * msPerDay;
const straightGapMs = 3 * msPerHour;
/** A flow less sure than this teaches nothing. */
const mostFlowSdGPerH = 100;
const z95 = 1.645;
/** Days over which what was told is held against what ran, and how much of each is taken for granted [own]. */
const strengthDays = 3;
const grantedG = 1000;
/** Where neither is more, noise and weeping tell nothing of a tree's strength. */
const runningGPerH = 20;
const leastChargedShare = 0.5;
const strengthRange = { low: 0.5, high: 2 };
/** Frozen through, a bucket holds 0.917 of what it does else. */
const iceRimShare = 0.91;

/** Whose memory it is: the same bucket draws the same numbers. */
export type Learning = { source: string; capacityG: number };

export function startBrimMemory(): BrimMemory {
  return {
    atMs: null,
    airC: 0,
    air: startAirPast(),
    clockNoonHour: null,
    trees: new Float32Array(),
    learntSlots: 0,
    seenG: 0,
    toldG: 0,
  };
}

/**
 * The memory after one more ten-minute slot. Slots without air temperature teach nothing: what they
 * stand for is lived through when the air is heard again. The same slots give the same memory.
 */
export function learnSlot(memory: BrimMemory, slot: Slot, bucket: Learning): BrimMemory {
  const { atMs, airC } = slot;
  if (airC === undefined || (memory.atMs !== null && atMs <= memory.atMs)) return memory;
  const draws = createDraws(seedFrom(bucket.source, atMs));
  const air = addToAirPast(memory.air, { atMs, airC });
  const clockNoonHour = clockNoonOf(slot);
  if (memory.atMs === null) {
    return { ...memory, atMs, airC, air, clockNoonHour, trees: startParticles(airC, draws) };
  }
  const particles = memory.trees.slice();
  const told = liveUntil({ ...memory, atMs: memory.atMs }, { atMs, airC, particles, draws });
  const teaches = isTelling(slot, bucket.capacityG) && atMs - memory.atMs <= 2 * stepMs;
  if (!teaches) return { ...memory, atMs, airC, air, clockNoonHour, trees: particles };
  const { seenG, toldG } = compared(memory, slot, toldByCharged(particles, told));
  weighParticles(particles, told, { seenGPerH: Math.max(0, slot.flowGPerH), stepH });
  const trees = areWorn(particles) ? renewParticles(particles, draws) : particles;
  const learntSlots = memory.learntSlots + 1;
  return { atMs, airC, air, clockNoonHour, trees, learntSlots, seenG, toldG };
}

/** What ran beside what was told of it, one slot on. */
function compared(
  { seenG, toldG }: BrimMemory,
  { flowGPerH }: Slot,
  { toldGPerH, share }: { toldGPerH: number; share: number },
): Pick<BrimMemory, "seenG" | "toldG"> {
  const fading = Math.exp(-stepH / 24 / strengthDays);
  const counts = share >= leastChargedShare && Math.max(flowGPerH, toldGPerH) > runningGPerH;
  return {
    seenG: seenG * fading + (counts ? Math.max(0, flowGPerH) * stepH : 0),
    toldG: toldG * fading + (counts ? toldGPerH * stepH : 0),
  };
}

/** UTC hour of the sun's highest stand: by the air's own days, in the first of them by the clock. */
export function noonHourFrom({ air, clockNoonHour }: BrimMemory): number | null {
  return noonHourOf(air) ?? clockNoonHour;
}

function clockNoonOf({ atMs, localHour }: Slot): number | null {
  return localHour === undefined ? null : (atMs / msPerHour + 36 - localHour) % 24;
}

/**
 * How much stronger the tree ran of late than its supposed trees told, 0.5-2: a strong tree is known
 * by its litres days before enough of the weight is with those that are as strong.
 */
export function strengthOf({ seenG, toldG }: BrimMemory): number {
  const strength = (seenG + grantedG) / (toldG + grantedG);
  return Math.min(strengthRange.high, Math.max(strengthRange.low, strength));
}

/** At a rim that ice has lowered, sap runs over unseen. */
function isTelling(slot: Slot, capacityG: number): boolean {
  if (slot.full || slot.netG > iceRimShare * capacityG - rimG) return false;
  return (slot.highGPerH - slot.lowGPerH) / (2 * z95) <= mostFlowSdGPerH;
}

/** Steps the particles up to the slot; the flows that they tell for its last ten minutes. */
function liveUntil(
  memory: BrimMemory & { atMs: number },
  to: { atMs: number; airC: number; particles: Particles; draws: Draws },
): Float64Array {
  const gapMs = Math.min(to.atMs - memory.atMs, longestGapMs);
  const steps = Math.max(1, Math.round(gapMs / stepMs));
  const noonHour = noonHourFrom(memory);
  let told: Float64Array = new Float64Array();
  for (let step = steps - 1; step >= 0; step -= 1) {
    const middleMs = to.atMs - (step + 0.5) * stepMs;
    const airC = step === 0 ? to.airC : airBetween(memory, to, middleMs);
    const sunWM2 = sunlightWM2(middleMs, noonHour);
    told = stepParticles(to.particles, { airC, sunWM2, stepH }, to.draws);
  }
  return told;
}

/** In a short gap on a straight line, in a long one as on the day before. */
function airBetween(
  memory: BrimMemory & { atMs: number },
  to: { atMs: number; airC: number },
  middleMs: number,
): number {
  const share = Math.max(0, (middleMs - memory.atMs) / (to.atMs - memory.atMs));
  const straightC = memory.airC + (to.airC - memory.airC) * share;
  if (to.atMs - memory.atMs <= straightGapMs) return straightC;
  return airAtStep(memory.air, Math.floor(middleMs / airStepMs) - airStepsPerDay) ?? straightC;
}
