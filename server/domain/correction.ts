// What a reading weighed by a corrected calibration: from its raw counts, where the correction applies.

/** A line through the bare cell and a known weight. */
export type Scale = { zeroCounts: number; countsPerG: number };

/** From inclusive, until exclusive. */
export type ScaleSpan = Scale & { cellKey: number; fromMs: number; untilMs: number };

type Weighed = { atMs: number; massG: number; counts: number | null };

/**
 * The reading as the first correction that applies has it; itself where none does, or where it came
 * without counts. To a tenth of a gram, as a board that weighs with that calibration sends it.
 */
export function correctedReading<R extends Weighed>(
  reading: R,
  cellKey: number,
  corrections: readonly ScaleSpan[],
): R {
  const { atMs, counts } = reading;
  if (counts === null) return reading;
  const applies = corrections.find(
    (one) => one.cellKey === cellKey && one.fromMs <= atMs && atMs < one.untilMs,
  );
  return applies === undefined ? reading : { ...reading, massG: massGFromCounts(counts, applies) };
}

function massGFromCounts(counts: number, { zeroCounts, countsPerG }: Scale): number {
  return Math.round(((counts - zeroCounts) / countsPerG) * 10) / 10;
}
