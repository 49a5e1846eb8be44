// Where windows of raw counts come from: the simulated yard now, cells on a wire later.
import type { Calibration } from "./scale/calibration.ts";
import type { RawWindow } from "./scale/sampler.ts";

/** What else a board measures; absent is what it has no part for. */
export type Surroundings = {
  airC?: number;
  pressurePa?: number;
  supplyV?: number;
};

export type WindowSource = {
  cells: readonly { cell: string; calibration: Calibration }[];
  /** The newest window of a cell at a time; times never go back. Undefined when there is none. */
  windowAt(cell: string, atMs: number): RawWindow | undefined;
  surroundingsAt(atMs: number): Surroundings;
};
