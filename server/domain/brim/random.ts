// Draws that repeat: the brim forecast's randomness comes from a seed, never from the machine.
import { createUniform, seedFromText } from "../../../shared/seeded.ts";

export type Draws = {
  /** Evenly from 0 up to, not including, 1. */
  uniform(): number;
  /** Gaussian, mean 0, standard deviation 1. */
  normal(): number;
};

/** A 32-bit seed from a text and an instant. */
export function seedFrom(text: string, atMs: number): number {
  return seedFromText(`${text}/${atMs}`);
}

/** Seeded draws, the normal ones by the polar method. */
export function createDraws(seed: number): Draws {
  const uniform = createUniform(seed);
  let spare: number | undefined;
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
