// Where windows of raw counts come from: the simulated yard, or cells on a wire.
import type { Calibration } from "./scale/calibration.ts";
import type { FaultWindow, RawWindow } from "./scale/sampler.ts";

/** What else a board measures; absent is what it has no part for, or could not read just now. */
export type Surroundings = {
  airC?: number;
  pressurePa?: number;
  supplyV?: number;
};

export type SourceCell = {
  readonly cell: string;
  /** Undefined until the cell was calibrated; looked at anew with each window. */
  readonly calibration: Calibration | undefined;
};

export type WindowSource = {
  cells: readonly SourceCell[];
  /** The newest window of a cell at a time; times never go back. Undefined when there is none. */
  windowAt(cell: string, atMs: number): RawWindow | FaultWindow | undefined;
  /** What was read since, between two windows that are due; to notice that a bucket is handled. */
  glimpse?(cell: string): readonly number[] | undefined;
  surroundingsAt(atMs: number): Surroundings;
};
