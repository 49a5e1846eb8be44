// Finds a cell's calibration from three weighings, and refuses what can't be right.
import { type Parsed, parsed, refused } from "../../shared/parsed.ts";
import { massKgFromCounts } from "./calibration.ts";
import type { CalibrationRecord } from "./calibration-file.ts";
import { median } from "./sampler.ts";

/** Counts a gram of a usual cell: 2 mV/V, 40 kg, gain 128 (see README.md). 5 kg to 200 kg cells fit in. */
const usualCountsPerG = 107.4;
const mostUnusual = 8;
/** A change smaller than this many grams of a usual cell is no change. */
const leastChangeG = 50;

export type Weighing = { cell: string; counts: readonly number[] };

export type Weighings = {
  cell: string;
  /** All cells of the board with nothing on this one. */
  empty: readonly Weighing[];
  /** All cells with the known weight on this one. */
  loaded: readonly Weighing[];
  knownG: number;
  atMs: number;
};

/** What the known weight did to the cell, or why that can't be it. */
export function calibrationFrom(weighings: Weighings): Parsed<CalibrationRecord> {
  const { cell } = weighings;
  const changes = weighings.empty.map((before) => {
    const after = weighings.loaded.find((loaded) => loaded.cell === before.cell);
    const change = after === undefined ? 0 : median(after.counts) - median(before.counts);
    return { cell: before.cell, change };
  });
  const own = changes.find((change) => change.cell === cell)?.change ?? 0;
  const least = leastChangeG * usualCountsPerG;
  const other = changes.find((change) => change.cell !== cell && Math.abs(change.change) > least);
  if (Math.abs(own) < least) {
    if (other === undefined) {
      return refused("requires a change with the weight, got none: check the cell's wires");
    }
    return refused(
      `requires a change on ${cell}, got one on ${other.cell}: the two cells are swapped`,
    );
  }
  if (other !== undefined) {
    return refused(`requires a change on ${cell} alone, got one on ${other.cell} too`);
  }
  return scaleFrom({ ...weighings, own });
}

function scaleFrom(weighed: Weighings & { own: number }): Parsed<CalibrationRecord> {
  const { cell, empty, own, knownG, atMs } = weighed;
  const countsPerG = own / knownG;
  if (countsPerG < 0) {
    return refused(
      "requires counts that rise with the weight, got falling ones: swap the two signal wires (A+ and A-) or turn the cell over",
    );
  }
  const ratio = countsPerG / usualCountsPerG;
  if (ratio > mostUnusual || ratio < 1 / mostUnusual) {
    return refused(
      `requires about ${usualCountsPerG} counts a gram, got ${countsPerG.toFixed(1)}: is the known weight right?`,
    );
  }
  const bare = empty.find((weighing) => weighing.cell === cell);
  const zeroCounts = median(bare?.counts ?? []);
  return parsed({ zeroCounts, countsPerG, calibratedAtMs: atMs, knownG });
}

/** How far off a second known weight is, in grams. */
export function checkOffG(
  record: CalibrationRecord,
  counts: readonly number[],
  checkG: number,
): number {
  return 1000 * massKgFromCounts(median(counts), record) - checkG;
}

/** A check weight may be off by a thousandth and 5 g; more means a cell that touches something. */
export function isCheckGood(offG: number, checkG: number): boolean {
  return Math.abs(offG) <= 5 + checkG / 1000;
}
