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

/**
 * The state with other hypotheses and another scatter. Here, and wherever a state is made at every reading, its fields
 * are written out: a spread of so many takes as long as all that is reckoned.
 */
export function withHypotheses(
  state: FlowState,
  hypotheses: Hypothesis[],
  noise: Noise,
): FlowState {
  return {
    atMs: state.atMs,
    hypotheses,
    acceptedCount: state.acceptedCount,
    cellTempC: state.cellTempC,
    woodTempC: state.woodTempC,
    frozen: state.frozen,
    noFlowMs: state.noFlowMs,
    noise,
    awayAtStart: state.awayAtStart,
    steppedMs: state.steppedMs,
    loads: state.loads,
    impossible: state.impossible,
  };
}

/** Past this the flow meanwhile cannot be told. */
export const longUnheardMs = 12 * 3_600_000;
