// The standard normal value below which a share of all lies.

/** z for a probability between 0 and 1, both excluded: Abramowitz & Stegun 1964, 26.2.23, error below 4.5e-4. */
export function normalQuantile(probability: number): number {
  const tail = Math.min(probability, 1 - probability);
  const t = Math.sqrt(-2 * Math.log(tail));
  const above = (0.010328 * t + 0.802853) * t + 2.515517;
  const below = ((0.001308 * t + 0.189269) * t + 1.432788) * t + 1;
  const z = t - above / below;
  return probability < 0.5 ? -z : z;
}
