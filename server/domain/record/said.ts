// What a forecast of one bucket said, in the few figures that are held against what came.
import { msPerHour } from "../../../shared/units.ts";
import { type BrimForecast, overBefore } from "../brim/forecast.ts";
import type { BucketSetup, FlowEstimate } from "../bucket.ts";

export type Said = {
  /** Probability that it runs over within so many hours. */
  over6h: number;
  over12h: number;
  over24h: number;
  /** Sap to come in 12 h: 5 % of the forecasts' paths bring less than low, 5 % more than high. */
  low12G: number;
  mid12G: number;
  high12G: number;
  /** What still fitted in. */
  roomG: number;
};

const shares = { low: 0.05, mid: 0.5, high: 0.95 };

/** Null for a bucket that is off its cell, in doubt or at its rim: nothing can be held against that. */
export function saidOf(judged: {
  forecast: BrimForecast;
  members: readonly Float64Array[];
  estimate: FlowEstimate;
  setup: BucketSetup;
}): Said | null {
  const { forecast, members, estimate, setup } = judged;
  const roomG = setup.capacityG - estimate.netG;
  if (estimate.away || estimate.full || estimate.doubt !== undefined || roomG <= 0) return null;
  const over = (hours: number) => overBefore(forecast, forecast.fromMs + hours * msPerHour);
  const halfDay = (12 * msPerHour) / forecast.stepMs;
  const sorted = Float64Array.from(members, (member) => member[halfDay] ?? 0).sort();
  const at = (share: number) => sorted[Math.floor(share * sorted.length)] ?? 0;
  return {
    over6h: over(6),
    over12h: over(12),
    over24h: over(24),
    low12G: at(shares.low),
    mid12G: at(shares.mid),
    high12G: at(shares.high),
    roomG,
  };
}
