// A Gaussian flow that is known not to be negative: its mean and the upper end of its interval.

const sqrtTwoPi = Math.sqrt(2 * Math.PI);
const leastShare = 1e-9;

/** E[q | q >= 0] of a Gaussian with this mean and standard deviation (> 0); any mean, same unit back. */
export function meanIfNotNegative(mean: number, sd: number): number {
  return mean + sd * hazard(-mean / sd);
}

/** One of several Gaussians that a flow may come from; weights sum to 1. */
export type Part = { weight: number; mean: number; sd: number };

/** E[q | q >= 0] of a mixture of Gaussians, each of sd > 0. */
export function mixtureMeanIfNotNegative(parts: readonly Part[]): number {
  let sum = 0;
  let total = 0;
  for (const { weight, mean, sd } of parts) {
    const share = weight * upperTail(-mean / sd);
    sum += share * meanIfNotNegative(mean, sd);
    total += share;
  }
  // So far below zero that no part has any of itself above: the widest says what little may be.
  const widest = parts.reduce((one, other) => (other.sd > one.sd ? other : one));
  return total > leastShare ? sum / total : meanIfNotNegative(widest.mean, widest.sd);
}

/** Density over upper tail of the standard Gaussian (the inverse Mills ratio) at x; relative error below 1e-6. */
function hazard(x: number): number {
  if (x < 5) {
    const density = Math.exp((-x * x) / 2) / sqrtTwoPi;
    return density / upperTail(x);
  }
  // Laplace's continued fraction, Abramowitz & Stegun 26.2.14.
  let fraction = x;
  for (let term = 40; term >= 1; term -= 1) {
    fraction = x + term / fraction;
  }
  return fraction;
}

/** Upper tail of the standard Gaussian by erfc, W. J. Cody style fit of Numerical Recipes 6.2 (1.2e-7 relative). */
function upperTail(x: number): number {
  const z = Math.abs(x) / Math.SQRT2;
  const t = 1 / (1 + z / 2);
  const fit = [
    -1.26551223, 1.00002368, 0.37409196, 0.09678418, -0.18628806, 0.27886807, -1.13520398,
    1.48851587, -0.82215223, 0.17087277,
  ].reduceRight((sum, coefficient) => sum * t + coefficient, 0);
  const half = 0.5 * t * Math.exp(-z * z + fit);
  return x >= 0 ? half : 1 - half;
}
