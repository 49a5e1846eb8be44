// Seeded randomness of the simulated yard: each layer has its own stream, so none reshuffles another.

export type Random = {
  /** Evenly from 0 up to, not including, 1. */
  uniform(): number;
  /** Gaussian, mean 0, standard deviation 1. */
  normal(): number;
};

/** A 32-bit seed made of a seed and the names of who uses it (FNV-1a, then a finishing mix). */
export function subSeed(seed: number, ...names: readonly (string | number)[]): number {
  let hash = 0x811c9dc5 ^ seed;
  for (const char of names.join("/")) {
    hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 0x01000193);
  }
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}

/** The generator sfc32 (C. Doty-Humphrey, PractRand) with Box-Muller for the normal draws. */
export function createRandom(seed: number): Random {
  const bits = createBits(seed);
  let spare: number | undefined;
  const uniform = () => bits() / 4294967296;
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

function createBits(seed: number): () => number {
  let a = seed | 0;
  let b = 0x9e3779b9 | 0;
  let c = 0x243f6a88 | 0;
  let counter = 1;
  const next = () => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return sum >>> 0;
  };
  for (let round = 0; round < 15; round += 1) next();
  return next;
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
