// What is kept of one bucket between its readings.
import type { Load } from "./events.ts";
import type { Hypothesis } from "./hypotheses.ts";
import type { Noise } from "./noise.ts";

/** All that is known of a bucket; plain JSON, so that it can be stored and continued. Masses are gross. */
export type FlowState = {
  /** Time of the last reading that was used. */
  atMs: number | null;
  /** What may be so at atMs, likeliest first; empty while nothing was weighed. */
  hypotheses: Hypothesis[];
  /** Weights accepted since the start, counted up to settledCount. */
  acceptedCount: number;
  /** Air temperature as the cell and as the wood feel it. */
  cellTempC: number | null;
  woodTempC: number | null;
  /** At the last reading the wood was certainly frozen. */
  frozen: boolean;
  /** When it was last used that no sap can run. */
  noFlowMs: number | null;
  noise: Noise;
  /** The bucket has been off its cell since before anything was known of it. */
  awayAtStart: boolean;
  /** When the load last changed: the cell creeps for a while. */
  steppedMs: number | null;
  /** What was laid on the bucket and not taken off since. */
  loads: readonly Load[];
  /** The last reading was no possible weight. */
  impossible: boolean;
};

/** Past this the flow meanwhile cannot be told. */
export const longUnheardMs = 12 * 3_600_000;
