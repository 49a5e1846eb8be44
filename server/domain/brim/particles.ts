// Many supposed trees, weighed by how well each of them tells what one tree does.
//
// Particle filter with a tempered likelihood; resampling with the kernel of J. Liu, M. West,
// "Combined parameter and state estimation in simulation-based filtering" (2001), from memory.
import type { Draws } from "./random.ts";
import { stepWood, type Wood, type WoodStep } from "./wood.ts";

export type Particle = Wood & {
  logWeight: number;
  /** What it lately told too little, and how much lately ran or was told to, both fading. */
  missedGPerH: number;
  sizeGPerH: number;
};

/** Thirteen whole numbers a particle: rounded at every step, so that what is stored is all there is. */
export type Packed = readonly number[];

export const particleCount = 250;
const columns = 13;
const stateColumn = 7;
const perMille = 1000;

/** Median and spread of what a tree may be before anything is known of it [own]. */
const priors = {
  tauH: { median: 2, logSd: 0.45 },
  latentK: { median: 6, logSd: 0.4 },
  sunKPerWM2: { median: 0.005, logSd: 0.6 },
  drainH: { median: 3.2, logSd: 0.4 },
  fullG: { median: 3500, logSd: 0.5 },
  rechargeRate: { median: 1.5, logSd: 0.3 },
};
const spoutPriorC = { mean: -1, sd: 0.5 };

/** Of ten minutes: the model is wrong and its misses last, so each of them counts for little. */
const temper = 0.04 * (10 / 15);
const flowSdGPerH = 20;
const flowSdShare = 0.22;
/** Hours over which flow seen and told are compared: a run told an hour late is still a run told. */
const compareH = 3;
const leastLog = -30;
const kernel = 0.12;
const enthalpyJitterK = 0.15;
const storeJitter = 0.08;

/** Trees as they may be, with wood as warm as the air. */
export function startParticles(airC: number, draws: Draws): Particle[] {
  const drawn = ({ median, logSd }: { median: number; logSd: number }) =>
    median * Math.exp(logSd * draws.normal());
  return Array.from({ length: particleCount }, () => {
    const latentK = drawn(priors.latentK);
    const fullG = drawn(priors.fullG);
    return {
      tauH: drawn(priors.tauH),
      latentK,
      sunKPerWM2: drawn(priors.sunKPerWM2),
      drainH: drawn(priors.drainH),
      fullG,
      rechargeRate: drawn(priors.rechargeRate),
      spoutC: spoutPriorC.mean + spoutPriorC.sd * draws.normal(),
      enthalpyK: airC < 0 ? airC : latentK * draws.uniform() + airC,
      storeG: fullG * draws.uniform(),
      freezeLog: 0,
      logWeight: 0,
      missedGPerH: 0,
      sizeGPerH: 0,
    };
  });
}

export function stepParticles(
  particles: readonly Particle[],
  step: WoodStep,
  draws: Draws,
): number[] {
  return particles.map((particle) => stepWood(particle, step, draws));
}

/** Weighs each particle by the flow it told for a slot against what was seen; the heaviest has logWeight 0. */
export function weighParticles(
  particles: readonly Particle[],
  toldGPerH: readonly number[],
  { seenGPerH, stepH }: { seenGPerH: number; stepH: number },
): void {
  const fresh = 1 - Math.exp(-stepH / compareH);
  particles.forEach((particle, index) => {
    const told = toldGPerH[index] ?? 0;
    particle.missedGPerH += fresh * (seenGPerH - told - particle.missedGPerH);
    particle.sizeGPerH += fresh * (Math.max(seenGPerH, told) - particle.sizeGPerH);
    const sd = flowSdGPerH + flowSdShare * particle.sizeGPerH;
    const z = particle.missedGPerH / sd;
    particle.logWeight += temper * (-2.5 * Math.log(1 + (z * z) / 4) - Math.log(sd));
  });
  const most = heaviest(particles);
  for (const particle of particles) particle.logWeight -= most;
}

function heaviest(particles: readonly Particle[]): number {
  return particles.reduce(
    (most, { logWeight }) => Math.max(most, logWeight),
    Number.NEGATIVE_INFINITY,
  );
}

/** Shares of weight that sum to 1; even when no particle has any. */
export function weightsOf(particles: readonly Particle[]): number[] {
  const most = heaviest(particles);
  const raw = particles.map(({ logWeight }) => Math.exp(Math.max(leastLog, logWeight - most)));
  const sum = raw.reduce((total, weight) => total + weight, 0);
  return sum > 0 && Number.isFinite(sum)
    ? raw.map((weight) => weight / sum)
    : particles.map(() => 1 / particles.length);
}

/** Systematic draw of `count` places by weight. */
export function drawPlaces(weights: readonly number[], count: number, start: number): number[] {
  const places: number[] = [];
  let place = 0;
  let reached = weights[0] ?? 0;
  for (let index = 0; index < count; index += 1) {
    const wanted = (index + start) / count;
    while (reached < wanted && place < weights.length - 1) {
      place += 1;
      reached += weights[place] ?? 0;
    }
    places.push(place);
  }
  return places;
}

/** True once few particles carry the weight. */
export function areWorn(particles: readonly Particle[]): boolean {
  const squares = weightsOf(particles).reduce((sum, weight) => sum + weight * weight, 0);
  return 1 / squares < particles.length / 2;
}

/** Particles drawn anew by weight and moved a little apart. */
export function renewParticles(particles: readonly Particle[], draws: Draws): Particle[] {
  const weights = weightsOf(particles);
  const drawn = drawPlaces(weights, particles.length, draws.uniform()).map(
    (place) => particles[place],
  );
  const chosen = drawn.filter((particle) => particle !== undefined);
  const move = createMove(chosen, draws);
  return chosen.map(move);
}

const logColumns = [
  "tauH",
  "latentK",
  "sunKPerWM2",
  "drainH",
  "fullG",
  "rechargeRate",
] as const satisfies readonly (keyof Wood)[];

/** Draws each parameter towards the mean and apart again, so that mean and spread stay. */
function createMove(
  particles: readonly Particle[],
  draws: Draws,
): (particle: Particle) => Particle {
  const kept = Math.sqrt(1 - kernel * kernel);
  const shapes = logColumns.map((column) => shapeOf(particles.map((one) => Math.log(one[column]))));
  const spout = shapeOf(particles.map((one) => one.spoutC));
  const moved = (value: number, { mean, sd }: { mean: number; sd: number }) =>
    kept * value + (1 - kept) * mean + kernel * sd * draws.normal();
  return (particle) => {
    const next = { ...particle, logWeight: 0 };
    logColumns.forEach((column, index) => {
      const shape = shapes[index];
      if (shape !== undefined) next[column] = Math.exp(moved(Math.log(particle[column]), shape));
    });
    next.spoutC = moved(particle.spoutC, spout);
    next.enthalpyK += enthalpyJitterK * draws.normal();
    next.storeG *= Math.exp(storeJitter * draws.normal());
    return next;
  };
}

function shapeOf(values: readonly number[]): { mean: number; sd: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
  return { mean, sd: Math.sqrt(variance) };
}

/** Logarithms and kelvins in thousandths, the store in tenths of a gram. */
export function packParticles(particles: readonly Particle[]): number[] {
  const packed: number[] = [];
  for (const one of particles) {
    for (const column of logColumns) packed.push(thousandths(Math.log(one[column])));
    packed.push(thousandths(one.spoutC), ...stateOf(one));
  }
  return packed;
}

/** The same trees with what has changed in them since they were packed: not what they are, but how they are. */
export function repackParticles(packed: Packed, particles: readonly Particle[]): number[] {
  const next = [...packed];
  particles.forEach((one, index) => {
    const at = index * columns + stateColumn;
    next[at] = thousandths(one.enthalpyK);
    next[at + 1] = Math.round(one.storeG * 10);
    next[at + 2] = thousandths(one.freezeLog);
    next[at + 3] = thousandths(one.logWeight);
    next[at + 4] = Math.round(one.missedGPerH);
    next[at + 5] = Math.round(one.sizeGPerH);
  });
  return next;
}

function stateOf(one: Particle): number[] {
  const storeDeciG = Math.round(one.storeG * 10);
  const { enthalpyK, freezeLog, logWeight } = one;
  return [
    thousandths(enthalpyK),
    storeDeciG,
    thousandths(freezeLog),
    thousandths(logWeight),
    Math.round(one.missedGPerH),
    Math.round(one.sizeGPerH),
  ];
}

function thousandths(value: number): number {
  return Math.round(value * perMille);
}

export function unpackParticles(packed: Packed): Particle[] {
  const particles: Particle[] = [];
  for (let at = 0; at + columns <= packed.length; at += columns) {
    const value = (column: number) => (packed[at + column] ?? 0) / perMille;
    particles.push({
      tauH: Math.exp(value(0)),
      latentK: Math.exp(value(1)),
      sunKPerWM2: Math.exp(value(2)),
      drainH: Math.exp(value(3)),
      fullG: Math.exp(value(4)),
      rechargeRate: Math.exp(value(5)),
      spoutC: value(6),
      enthalpyK: value(7),
      storeG: value(8) * 100,
      freezeLog: value(9),
      logWeight: value(10),
      missedGPerH: value(11) * perMille,
      sizeGPerH: value(12) * perMille,
    });
  }
  return particles;
}
