// How fast bacteria in sap multiply with temperature, and a count that sap keeps running into.

/** One possible flora: the square-root model's slope and the temperature below which nothing grows. */
export type Flora = { slope: number; leastC: number };

/**
 * sqrt(rate per hour) = slope (T - leastC) (Ratkowsky et al. 1982), fitted to two published
 * Pseudomonas models (GROPIN 406 and 431) and to 7 days from 1e3 to 1e6 CFU/mL at 3.3 C, which is
 * common advice without a source. Spread: slope 12 %, leastC 1 K (own estimate).
 */
export const medianFlora: Flora = { slope: 0.0225, leastC: -5.7 };
export const slopeRelativeSd = 0.12;
export const leastCSd = 1;

/** Count per mL at which sap should have been boiled (grade falls at 1e5-1e6, from memory). */
export const boilByPerMl = 1e6;
/** Sap holds no more than this per mL. */
export const mostPerMl = 1e9;

/** Growth per hour of the natural logarithm of the count; 0 at or below leastC. */
export function growthPerH(tempC: number, flora: Flora): number {
  const root = Math.max(0, flora.slope * (tempC - flora.leastC));
  return root * root;
}

/** The total count after dtH hours of growth at ratePerH while inflowPerH more run in, exactly. */
export function countAfter(
  count: number,
  { ratePerH, inflowPerH, dtH }: { ratePerH: number; inflowPerH: number; dtH: number },
): number {
  const exponent = ratePerH * dtH;
  const grownH = exponent < 1e-8 ? dtH : Math.expm1(exponent) / ratePerH;
  return count * Math.exp(exponent) + inflowPerH * grownH;
}

/** Count per mL in sap fresh from the tap, rising with the season's day and the last week's warmth (own). */
export function freshPerMl(seasonDay: number, weekMeanC: number): number {
  return 10 ** (2.8 + 0.035 * Math.max(0, seasonDay) + 0.05 * Math.max(0, weekMeanC));
}
/** Standard deviation of the decimal logarithm of freshPerMl (own estimate). */
export const freshLogSd = 0.6;
