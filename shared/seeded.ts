// What seeded draws are made of: a seed from a text, and bits that come the same from the same seed.

/** A 32-bit seed from a text (FNV-1a, then a finishing mix); another `salt`, another seed. */
export function seedFromText(text: string, salt = 0): number {
  let hash = 0x811c9dc5 ^ salt;
  for (const char of text) {
    hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 0x01000193);
  }
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}

/** Draws evenly from 0 up to, not including, 1: the generator sfc32 (C. Doty-Humphrey, PractRand). */
export function createUniform(seed: number): () => number {
  let a = seed | 0;
  let b = 0x9e3779b9 | 0;
  let c = 0x243f6a88 | 0;
  let counter = 1;
  function bits(): number {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return sum >>> 0;
  }
  for (let round = 0; round < 15; round += 1) bits();
  return () => bits() / 4294967296;
}
