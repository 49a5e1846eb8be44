// Seeded randomness of the simulated yard: each layer has its own stream, so none reshuffles another.
import { createUniform, seedFromText } from "../../shared/seeded.ts";

export type Random = {
  /** Evenly from 0 up to, not including, 1. */
  uniform(): number;
  /** Gaussian, mean 0, standard deviation 1. */
  normal(): number;
};

/** A 32-bit seed made of a seed and the names of who uses it. */
export function subSeed(seed: number, ...names: readonly (string | number)[]): number {
  return seedFromText(names.join("/"), seed);
}

/** Seeded draws, the normal ones by Box-Muller. */
export function createRandom(seed: number): Random {
  const uniform = createUniform(seed);
  let spare: number | undefined;
  const normal = () => {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { uniform, normal };
}

/** A value that wanders about 0 and forgets itself (Ornstein-Uhlenbeck, stepped exactly). */
export type Wander = { step(stepH: number): number };

export function createWander(random: Random, shape: { tauH: number; sd: number }): Wander {
  let value = shape.sd * random.normal();
  return {
    step(stepH) {
      const kept = Math.exp(-stepH / shape.tauH);
      value = value * kept + shape.sd * Math.sqrt(1 - kept * kept) * random.normal();
      return value;
    },
  };
}
