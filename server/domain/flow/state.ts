// What is kept of one bucket between its readings.
import type { Accepted, Disturbance } from "./disturbance.ts";
import type { Modes } from "./modes.ts";
import type { Noise } from "./noise.ts";

/** All that is known of a bucket; plain JSON, so that it can be stored and continued. Masses are gross. */
export type FlowState = {
  /** Time of the last reading that was used. */
  atMs: number | null;
  /** Belief at atMs. */
  modes: Modes | null;
  /** Weights accepted since the start, counted up to settledCount. */
  acceptedCount: number;
  accepted: Accepted | null;
  /** Air temperature as the cell feels it. */
  cellTempC: number | null;
  noise: Noise;
  disturbance: Disturbance | null;
  /** The bucket has been off its cell since before anything was known of it. */
  awayAtStart: boolean;
  full: boolean;
  /** When the load last changed: the cell creeps for a while. */
  steppedMs: number | null;
  /** The last reading was no possible weight. */
  impossible: boolean;
};

/** Weights that must agree before anything is believed. */
export const settledCount = 3;
/** Past this the flow meanwhile cannot be told. */
export const longUnheardMs = 12 * 3_600_000;
/** This far below its capacity a bucket counts as full. */
export const rimG = 60;
