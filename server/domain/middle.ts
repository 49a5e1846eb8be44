// The middle of some figures.

/** NaN of nothing. */
export function median(values: readonly number[]): number {
  const ordered = values.toSorted((one, other) => one - other);
  const middle = ordered.length >> 1;
  const upper = ordered[middle] ?? Number.NaN;
  return ordered.length % 2 === 1 ? upper : ((ordered[middle - 1] ?? Number.NaN) + upper) / 2;
}

/** NaN of nothing. */
export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
