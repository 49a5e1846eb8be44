// Whether to tell a person that a bucket will brim over: weighing a trip against lost sap.
import type { Brim } from "../../../shared/wire/api.ts";
import type { BucketSetup, FlowEstimate } from "../bucket.ts";
import { type BrimForecast, overBefore, probabilityBetween } from "./forecast.ts";
import type { Visits } from "./visits.ts";

export type BrimDecision = {
  brim: Brim;
  /** Probability that it goes over from now until the visit after next. */
  beforeAfterProbability: number;
  warn: boolean;
  /** Waiting for the next visit will most likely lose sap. */
  urgent: boolean;
  /** What is decided covers the night. */
  overnight: boolean;
};

export type DecideInput = {
  forecast: BrimForecast;
  visits: Visits;
  /** Cost of an extra trip over that of sap lost, 0.05-0.5. */
  warnProbability: number;
  estimate: FlowEstimate;
  setup: BucketSetup;
};

const mostLikely = 0.5;
const nearRimShare = 0.97;
const nearRimFlowGPerH = 20;

/**
 * Cost-loss rule (A. H. Murphy 1977, from memory): warn when a trip at the next visit is worth it,
 * that is when P(over after it and before the one after) >= warnProbability; also when it most
 * likely goes over before anyone can come, and at once when it stands at the rim and runs.
 */
export function decideBrim(input: DecideInput): BrimDecision {
  const { forecast, visits, estimate, setup } = input;
  const atRim = estimate.full || estimate.netG >= setup.capacityG;
  const { fromMs } = forecast;
  const between = probabilityBetween(forecast, visits.nextMs, visits.afterMs);
  const late =
    estimate.netG > nearRimShare * setup.capacityG && estimate.flowGPerH > nearRimFlowGPerH;
  const tooSoon = probabilityBetween(forecast, fromMs, visits.nextMs) >= mostLikely;
  const urgent = atRim || late || tooSoon;
  return {
    brim: {
      probability: atRim ? 1 : between,
      t10Ms: forecast.t10Ms,
      t50Ms: forecast.t50Ms,
      t90Ms: forecast.t90Ms,
    },
    beforeAfterProbability: atRim
      ? 1
      : overBefore(forecast, visits.afterMs) - overBefore(forecast, fromMs),
    warn: urgent || between >= input.warnProbability,
    urgent,
    overnight: visits.overnight,
  };
}
