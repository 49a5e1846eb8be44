// From raw counts to grams: a line through the bare cell and a known weight.

export type Calibration = {
  /** Counts of the bare cell. */
  zeroCounts: number;
  countsPerG: number;
};

export function massKgFromCounts(counts: number, { zeroCounts, countsPerG }: Calibration): number {
  return (counts - zeroCounts) / countsPerG / 1000;
}
