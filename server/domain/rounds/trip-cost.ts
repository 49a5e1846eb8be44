// What a trip costs: walking, heavier with each bucket poured in, the trip itself and the time at each bucket.
import type { RoundTask } from "./plan.ts";

export type TripCosts = {
  /** Minutes that walking between two places takes with so much in hand, as effort counts it. */
  leg(from: number, to: number, carriedKg: number): number;
  /** A trip from home through its stops and back. */
  ofTrip(stops: readonly number[]): number;
  /** The same without walking. */
  fixed(stopCount: number): number;
};

/** Place 0 is home; stop number i is place i + 1. */
export function tripCosts({ stops, distanceM, effort }: RoundTask): TripCosts {
  const { walkMPerMin, loadPerKg, tripMin, stopMin } = effort;
  const leg = (from: number, to: number, carriedKg: number) =>
    ((distanceM[from]?.[to] ?? 0) * (1 + loadPerKg * carriedKg)) / walkMPerMin;
  const fixed = (stopCount: number) => tripMin + stopMin * stopCount;
  return {
    leg,
    fixed,
    ofTrip(trip) {
      let carriedKg = 0;
      let at = 0;
      let minutes = fixed(trip.length);
      for (const stop of trip) {
        minutes += leg(at, stop + 1, carriedKg);
        carriedKg += stops[stop]?.loadKg ?? 0;
        at = stop + 1;
      }
      return minutes + leg(at, 0, carriedKg);
    },
  };
}
