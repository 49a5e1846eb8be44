// Many supposed trees, weighed by how well each of them tells what one tree does.
//
// Particle filter with a tempered likelihood.
import type { Draws } from "./random.ts";
import { stepWood, type Wood, type WoodStep } from "./wood.ts";

export type Particle = Wood & {
  logWeight: number;
  /** What it lately told too little, and how much lately ran or was told to, both fading. */
  missedGPerH: number;
  sizeGPerH: number;
};

/** Row after row in single precision: what is stored is all there is. */
export type Particles = Float32Array;

export const particleCount = 250;
const columns = 13;

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

const nothing: Particle = {
  tauH: 1,
  latentK: 1,
  sunKPerWM2: 0,
  drainH: 1,
  fullG: 0,
  rechargeRate: 1,
  spoutC: 0,
  enthalpyK: 0,
  storeG: 0,
  freezeLog: 0,
  logWeight: 0,
  missedGPerH: 0,
  sizeGPerH: 0,
};

/** One particle to read rows into, again and again. */
export function blankParticle(): Particle {
  return { ...nothing };
}

export function countOf(particles: Particles): number {
  return particles.length / columns;
}

export function readParticle(particles: Particles, place: number, into: Particle): void {
  const at = place * columns;
  into.tauH = particles[at] ?? 1;
  into.latentK = particles[at + 1] ?? 1;
  into.sunKPerWM2 = particles[at + 2] ?? 0;
  into.drainH = particles[at + 3] ?? 1;
  into.fullG = particles[at + 4] ?? 0;
  into.rechargeRate = particles[at + 5] ?? 1;
  into.spoutC = particles[at + 6] ?? 0;
  readState(particles, at, into);
}

function readState(particles: Particles, at: number, into: Particle): void {
  into.enthalpyK = particles[at + 7] ?? 0;
  into.storeG = particles[at + 8] ?? 0;
  into.freezeLog = particles[at + 9] ?? 0;
  into.logWeight = particles[at + 10] ?? 0;
  into.missedGPerH = particles[at + 11] ?? 0;
  into.sizeGPerH = particles[at + 12] ?? 0;
}

export function writeParticle(particles: Particles, place: number, from: Particle): void {
  const at = place * columns;
  particles[at] = from.tauH;
  particles[at + 1] = from.latentK;
  particles[at + 2] = from.sunKPerWM2;
  particles[at + 3] = from.drainH;
  particles[at + 4] = from.fullG;
  particles[at + 5] = from.rechargeRate;
  particles[at + 6] = from.spoutC;
  particles[at + 7] = from.enthalpyK;
  particles[at + 8] = from.storeG;
  particles[at + 9] = from.freezeLog;
  particles[at + 10] = from.logWeight;
  particles[at + 11] = from.missedGPerH;
  particles[at + 12] = from.sizeGPerH;
}

/** Trees as they may be, with wood as warm as the air. */
export function startParticles(airC: number, draws: Draws): Particles {
  const particles = new Float32Array(particleCount * columns);
  const drawn = ({ median, logSd }: { median: number; logSd: number }) =>
    median * Math.exp(logSd * draws.normal());
  for (let place = 0; place < particleCount; place += 1) {
    const latentK = drawn(priors.latentK);
    const fullG = drawn(priors.fullG);
    writeParticle(particles, place, {
      ...nothing,
      tauH: drawn(priors.tauH),
      latentK,
      sunKPerWM2: drawn(priors.sunKPerWM2),
      drainH: drawn(priors.drainH),
      fullG,
      rechargeRate: drawn(priors.rechargeRate),
      spoutC: spoutPriorC.mean + spoutPriorC.sd * draws.normal(),
      enthalpyK: airC < 0 ? airC : latentK * draws.uniform() + airC,
      // Taps are bored after weeks of frost and thaw: the store is more likely full than empty.
      storeG: fullG * Math.sqrt(draws.uniform()),
    });
  }
  return particles;
}

/** Lets each particle go through a step, changing it; gives the flow that each tells. */
export function stepParticles(particles: Particles, step: WoodStep, draws: Draws): Float64Array {
  const toldGPerH = new Float64Array(countOf(particles));
  const tree = blankParticle();
  for (let place = 0; place < toldGPerH.length; place += 1) {
    readParticle(particles, place, tree);
    toldGPerH[place] = stepWood(tree, step, draws);
    const at = place * columns;
    particles[at + 7] = tree.enthalpyK;
    particles[at + 8] = tree.storeG;
    particles[at + 9] = tree.freezeLog;
  }
  return toldGPerH;
}

/**
 * What the trees tell that have frozen through since they were supposed, by weight, and their share of all weight:
 * what the others hold was drawn by lot, so that their litres say nothing of their size.
 */
export function toldByCharged(
  particles: Particles,
  toldGPerH: Float64Array,
): { toldGPerH: number; share: number } {
  const most = heaviest(particles);
  let all = 0;
  let charged = 0;
  let told = 0;
  for (let place = 0; place < toldGPerH.length; place += 1) {
    const weight = weightAt(particles, place, most);
    all += weight;
    // Each freeze draws its own; before the first it is nothing.
    if (particles[place * columns + 9] === 0) continue;
    charged += weight;
    told += weight * (toldGPerH[place] ?? 0);
  }
  return { toldGPerH: charged > 0 ? told / charged : 0, share: charged > 0 ? charged / all : 0 };
}

/** Weighs each particle by the flow it told for a slot against what was seen; the heaviest has logWeight 0. */
export function weighParticles(
  particles: Particles,
  toldGPerH: Float64Array,
  { seenGPerH, stepH }: { seenGPerH: number; stepH: number },
): void {
  const fresh = 1 - Math.exp(-stepH / compareH);
  for (let place = 0; place < toldGPerH.length; place += 1) {
    const at = place * columns;
    const told = toldGPerH[place] ?? 0;
    const missed = particles[at + 11] ?? 0;
    const size = particles[at + 12] ?? 0;
    const missedGPerH = missed + fresh * (seenGPerH - told - missed);
    const sizeGPerH = size + fresh * (Math.max(seenGPerH, told) - size);
    const sd = flowSdGPerH + flowSdShare * sizeGPerH;
    const z = missedGPerH / sd;
    const gained = temper * (-2.5 * Math.log(1 + (z * z) / 4) - Math.log(sd));
    particles[at + 10] = (particles[at + 10] ?? 0) + gained;
    particles[at + 11] = missedGPerH;
    particles[at + 12] = sizeGPerH;
  }
  const most = heaviest(particles);
  for (let at = 10; at < particles.length; at += columns) {
    particles[at] = (particles[at] ?? 0) - most;
  }
}

function heaviest(particles: Particles): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let at = 10; at < particles.length; at += columns) {
    const logWeight = particles[at] ?? most;
    if (logWeight > most) most = logWeight;
  }
  return most;
}

/** Against the heaviest. */
function weightAt(particles: Particles, place: number, most: number): number {
  return Math.exp(Math.max(leastLog, (particles[place * columns + 10] ?? 0) - most));
}

/** Shares of weight that sum to 1; even when no particle has any. */
export function weightsOf(particles: Particles): Float64Array {
  const most = heaviest(particles);
  const weights = new Float64Array(countOf(particles));
  let sum = 0;
  for (let place = 0; place < weights.length; place += 1) {
    const weight = weightAt(particles, place, most);
    weights[place] = weight;
    sum += weight;
  }
  if (!(sum > 0 && Number.isFinite(sum))) return weights.fill(1 / weights.length);
  for (let place = 0; place < weights.length; place += 1) {
    weights[place] = (weights[place] ?? 0) / sum;
  }
  return weights;
}

/** Systematic draw of `count` places by weight. */
export function drawPlaces(weights: Float64Array, count: number, start: number): number[] {
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
export function areWorn(particles: Particles): boolean {
  const most = heaviest(particles);
  const count = countOf(particles);
  let sum = 0;
  let squares = 0;
  for (let place = 0; place < count; place += 1) {
    const weight = weightAt(particles, place, most);
    sum += weight;
    squares += weight * weight;
  }
  return (sum * sum) / squares < count / 2;
}
