// Why the readings of a cell should not be trusted.
import type { FlowState } from "./state.ts";

const unsettledMs = 15 * 60_000;
const noisySdG = 20;
const noisyTimesUsual = 4;

/** The reason in plain words, or undefined when the readings make sense. */
export function doubtOf(state: FlowState): string | undefined {
  const { atMs, disturbance, noise } = state;
  if (state.impossible) {
    return "the weight is out of range";
  }
  const isAtHand = disturbance !== null && !disturbance.awayNow && atMs !== null;
  if (isAtHand && atMs - disturbance.sinceMs > unsettledMs) {
    return "the weight does not come to rest";
  }
  const sdG = Math.sqrt(noise.varianceG2);
  return sdG > noisySdG && sdG > noisyTimesUsual * noise.usualSdG
    ? "the weight scatters far more than usual"
    : undefined;
}
