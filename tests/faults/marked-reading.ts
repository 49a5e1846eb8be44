// The readings that boards make under faults: time and mass tell which one it is, and which life of the board made it.

export type Plan = {
  originMs: number;
  /** From one reading of a cell to its next. */
  stepMs: number;
  boards: string[];
  cells: number;
};

const bareDg = 20_000;
const marks = 101;

export function cellName(cell: number): string {
  return `cell-${cell + 1}`;
}

export function timeOf({ originMs, stepMs }: Plan, turn: number): number {
  return originMs + turn * stepMs;
}

/** Which turn a time is of; none of them when it lies between two. */
export function turnOf({ originMs, stepMs }: Plan, atMs: number): number {
  return (atMs - originMs) / stepMs;
}

/**
 * In decigrams, as the store keeps it. Turns that follow each other and lives that follow each other
 * differ, so that a number given to two batches, or a reading stored for another, shows.
 */
export function massDg({ turn, cell, life }: { turn: number; cell: number; life: number }): number {
  return bareDg + ((turn + 37 * life + 11 * cell) % marks);
}
