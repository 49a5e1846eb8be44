// Why the readings of a cell should not be trusted.
import type { Belief } from "./kalman.ts";
import type { FlowState } from "./state.ts";

const unsettledMs = 15 * 60_000;
const noisySdG = 20;
const noisyTimesUsual = 4;
const mostDriftGPerK = 6;
const driftDeviations = 1.645;

/** The reason in plain words, or undefined when the readings make sense. */
export function doubtOf(state: FlowState, belief: Belief): string | undefined {
  const { atMs, disturbance, noise } = state;
  if (state.impossible) {
    return "the weight is out of range";
  }
  if (
    disturbance !== null &&
    !disturbance.awayNow &&
    (atMs ?? 0) - disturbance.sinceMs > unsettledMs
  ) {
    return "the weight does not come to rest";
  }
  const sdG = Math.sqrt(noise.varianceG2);
  if (sdG > noisySdG && sdG > noisyTimesUsual * noise.usualSdG) {
    return "the weight scatters far more than usual";
  }
  const driftSd = Math.sqrt(belief.p22);
  return Math.abs(belief.driftGPerK) - driftDeviations * driftSd > mostDriftGPerK
    ? "the weight drifts with the temperature"
    : undefined;
}
