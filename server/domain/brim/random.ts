// Draws that repeat: the brim forecast's randomness comes from a seed, never from the machine.

export type Draws = {
  /** Evenly from 0 up to, not including, 1. */
  uniform(): number;
  /** Gaussian, mean 0, standard deviation 1. */
  normal(): number;
};

/** A 32-bit seed from a text and an instant (FNV-1a, then a finishing mix). */
export function seedFrom(text: string, atMs: number): number {
  let hash = 0x811c9dc5;
  for (const char of `${text}/${atMs}`) {
    hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 0x01000193);
  }
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}

/** The generator sfc32 (C. Doty-Humphrey, PractRand) with the polar method for the normal draws. */
export function createDraws(seed: number): Draws {
  let a = seed | 0;
  let b = 0x9e3779b9 | 0;
  let c = 0x243f6a88 | 0;
  let counter = 1;
  let spare: number | undefined;
  function bits(): number {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return sum >>> 0;
  }
  for (let round = 0; round < 15; round += 1) bits();
  const uniform = () => bits() / 4294967296;
  function normal(): number {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    for (;;) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const square = x * x + y * y;
      if (square > 0 && square < 1) {
        const scale = Math.sqrt((-2 * Math.log(square)) / square);
        spare = y * scale;
        return x * scale;
      }
    }
  }
  return { uniform, normal };
}
