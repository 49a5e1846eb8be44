// A figure with its goal, and how a list of them is printed.

export type Figure = { name: string; value: string; goal?: { text: string; reached: boolean } };

export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

export function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}

/** The median, and from the least to the most where there are several. */
export function withRange(values: readonly number[], format: (value: number) => string): string {
  if (values.length === 1) return format(median(values));
  const [least, most] = [Math.min(...values), Math.max(...values)];
  return `${format(median(values))} (${format(least)}-${format(most)})`;
}

export function wholeNumber(value: number): string {
  return Math.round(value).toLocaleString("en-US");
}

export function print(figures: readonly Figure[]): void {
  for (const { name, value, goal } of figures) {
    const word = goal === undefined ? "" : `${goal.reached ? "reached" : "MISSED"}  (${goal.text})`;
    console.log(`${name.padEnd(62)} ${value.padStart(27)}  ${word}`);
  }
}
