// Random numbers that come the same in every run: one generator from one seed.

export type Random = {
  /** Uniform, at least 0 and below 1. */
  uniform(): number;
  /** Gaussian, mean 0, standard deviation 1. */
  gaussian(): number;
};

/** Mulberry32 (T. Ettinger, public domain) with Box and Muller's transform. */
export function createRandom(seed: number): Random {
  let state = seed >>> 0;
  function uniform(): number {
    state = (state + 0x6d2b79f5) >>> 0;
    let mix = Math.imul(state ^ (state >>> 15), state | 1);
    mix ^= mix + Math.imul(mix ^ (mix >>> 7), mix | 61);
    return ((mix ^ (mix >>> 14)) >>> 0) / 4_294_967_296;
  }
  function gaussian(): number {
    return Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  }
  return { uniform, gaussian };
}
