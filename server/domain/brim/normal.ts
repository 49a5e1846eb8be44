// The normal distribution, as far as the brim forecast needs it.

/**
 * Probability that a standard normal value is below z.
 * Abramowitz & Stegun 1964, 7.1.26, absolute error below 1e-7.
 */
export function normalBelow(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const tail =
    ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) *
    t *
    Math.exp(-x * x);
  return z >= 0 ? 1 - tail / 2 : tail / 2;
}
