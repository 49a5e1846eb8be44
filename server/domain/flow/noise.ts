// How much a cell's weight scatters, from second differences, so that a change of flow is not taken for noise.

/** JSON-safe; null where there is nothing yet. */
export type Noise = {
  varianceG2: number;
  /** Scatter usual for this cell, over days. */
  usualSdG: number;
  /** Time the usual scatter was learned over, up to usualMemoryMs. */
  learnedMs: number;
  last: { atMs: number; massG: number } | null;
  lastButOne: { atMs: number; massG: number } | null;
};

const firstSdG = 5;
const leastSdG = 2;
const memoryMs = 7 * 60_000;
const usualMemoryMs = 3 * 86_400_000;
const firstMemoryMs = 20 * 60_000;
const longestGapMs = 3.6 * 60_000;
const outlierLimit = 6;
const outlierCorrection = 1.06; // what cutting at the limit takes from the mean of a Gaussian's square

export function startNoise(): Noise {
  return {
    varianceG2: firstSdG ** 2,
    usualSdG: firstSdG,
    learnedMs: 0,
    last: null,
    lastButOne: null,
  };
}

/** The weight has changed its level: what was weighed before says nothing of the scatter after. */
export function forgetWeights(noise: Noise): Noise {
  return { ...noise, last: null, lastButOne: null };
}

/** The scatter after one more weight that was accepted. */
export function stepNoise(noise: Noise, atMs: number, massG: number): Noise {
  const { last, lastButOne } = noise;
  const next = { atMs, massG };
  if (last === null || lastButOne === null || atMs - last.atMs > longestGapMs) {
    const kept = last !== null && atMs - last.atMs <= longestGapMs ? last : null;
    return { ...noise, last: next, lastButOne: kept };
  }
  const stepMs = atMs - last.atMs;
  const ratio = stepMs / (last.atMs - lastButOne.atMs);
  const bend = massG - last.massG - ratio * (last.massG - lastButOne.massG);
  const squareG2 = (bend * bend) / (1 + (1 + ratio) ** 2 + ratio * ratio);
  const target = outlierCorrection * Math.min(squareG2, outlierLimit * noise.varianceG2);
  const share = 1 - Math.exp(-stepMs / memoryMs);
  const varianceG2 = Math.max(
    leastSdG ** 2,
    noise.varianceG2 + share * (target - noise.varianceG2),
  );
  const learnedMs = Math.min(usualMemoryMs, noise.learnedMs + stepMs);
  const usualShare = stepMs / (learnedMs + firstMemoryMs);
  return {
    varianceG2,
    usualSdG: noise.usualSdG + usualShare * (Math.sqrt(varianceG2) - noise.usualSdG),
    learnedMs,
    last: next,
    lastButOne: last,
  };
}
