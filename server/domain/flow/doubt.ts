// Why the readings of a cell should not be trusted.
import type { Modes } from "./modes.ts";
import type { FlowState } from "./state.ts";

const unsettledMs = 15 * 60_000;
const mostDriftGPerK = 6;
const noisySdG = 20;
const noisyTimesUsual = 4;

/** The reason in plain words, or undefined when the readings make sense. */
export function doubtOf(state: FlowState): string | undefined {
  const { atMs, hypotheses, noise } = state;
  if (state.impossible) {
    return "the weight is out of range";
  }
  const [first] = hypotheses;
  const excursion = first?.excursion ?? null;
  const isAtHand = excursion !== null && !excursion.awayNow && atMs !== null;
  if (isAtHand && atMs - excursion.sinceMs > unsettledMs) {
    return "the weight does not come to rest";
  }
  const sdG = Math.sqrt(noise.varianceG2);
  if (sdG > noisySdG && sdG > noisyTimesUsual * noise.usualSdG) {
    return "the weight scatters far more than usual";
  }
  return first !== undefined && driftsTooMuch(first.modes)
    ? "the weight of the cell follows the temperature too much"
    : undefined;
}

/** Only where it is sure: beyond the limit by two standard deviations. */
function driftsTooMuch(modes: Modes): boolean {
  const { driftGPerK, p22 } = modes.calm;
  return Math.abs(driftGPerK) - 2 * Math.sqrt(p22) > mostDriftGPerK;
}
