// Supposed trees drawn anew by weight: those that tell what the tree does become many, a little apart.
//
// Resampling with the kernel of J. Liu, M. West, "Combined parameter and state estimation in simulation-based
// filtering" (2001), from memory.
import {
  blankParticle,
  countOf,
  drawPlaces,
  type Particle,
  type Particles,
  readParticle,
  weightsOf,
  writeParticle,
} from "./particles.ts";
import type { Draws } from "./random.ts";
import type { Wood } from "./wood.ts";

const kernel = 0.12;
const enthalpyJitterK = 0.15;
const storeJitter = 0.08;

/** Particles drawn anew by weight and moved a little apart. */
export function renewParticles(particles: Particles, draws: Draws): Particles {
  const places = drawPlaces(weightsOf(particles), countOf(particles), draws.uniform());
  const chosen = places.map((place) => {
    const particle = blankParticle();
    readParticle(particles, place, particle);
    return particle;
  });
  const move = createMove(chosen, draws);
  const renewed = new Float32Array(particles.length);
  chosen.forEach((particle, place) => {
    writeParticle(renewed, place, move(particle));
  });
  return renewed;
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
