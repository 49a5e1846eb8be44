// Gaussian densities and sums of weights, as natural logarithms.

const logTwoPi = Math.log(2 * Math.PI);

/** Density of a difference from the mean of a Gaussian of this variance (> 0). */
export function logNormal(difference: number, variance: number): number {
  return -0.5 * (logTwoPi + Math.log(variance) + (difference * difference) / variance);
}

/** Logarithm of the sum of two numbers given by their logarithms. */
export function logOfSum(one: number, other: number): number {
  const most = Math.max(one, other);
  return most + Math.log1p(Math.exp(Math.min(one, other) - most));
}
