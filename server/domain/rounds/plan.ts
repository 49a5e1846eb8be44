// Which buckets to gather now, on which trips and in what order: what it brings against what it costs.
import { planExactly } from "./exact.ts";
import { planNearly } from "./nearly.ts";
import { type TripCosts, tripCosts } from "./trip-cost.ts";

/** A bucket that may be gathered. Benefit and cost are both told in minutes of a person's time. */
export type Stop = {
  loadKg: number;
  /** What gathering it now brings over gathering it at the next visit, in minutes of work that it is worth. */
  benefitMin: number;
};

export type RoundTask = {
  stops: readonly Stop[];
  /** Metres between places: 0 is home, 1 the first stop and so on. Symmetric. */
  distanceM: readonly (readonly number[])[];
  /** What a person carries in two hands, at most. */
  carryKg: number;
  /** What still fits where the sap is taken; null: no bound. */
  roomKg: number | null;
  effort: Effort;
};

export type Effort = {
  walkMPerMin: number;
  /** Each kilogram carried makes a metre so much longer. */
  loadPerKg: number;
  tripMin: number;
  stopMin: number;
};

/** Trips of stops' indices in walking order. */
export type RoundPlan = {
  trips: readonly (readonly number[])[];
  benefitMin: number;
  costMin: number;
};

/** Up to so many stops the plan is exact. */
export const mostExact = 12;

/** Usual effort: 3 km/h on snow (own estimates, but 0.02 per kg). */
export const usualEffort: Effort = { walkMPerMin: 50, loadPerKg: 0.02, tripMin: 3, stopMin: 0.75 };

/**
 * The plan with the greatest benefit less cost: the best there is up to 12 stops, a good one above.
 * No trip carries more than carryKg: of a heavier bucket as much is taken as can be carried.
 */
export function planRound(task: RoundTask): RoundPlan {
  const held: RoundTask = {
    ...task,
    stops: task.stops.map((stop) => ({ ...stop, loadKg: Math.min(stop.loadKg, task.carryKg) })),
  };
  const trips = held.stops.length <= mostExact ? planExactly(held) : planNearly(held);
  return pricedPlan(trips, held);
}

function pricedPlan(trips: readonly (readonly number[])[], task: RoundTask): RoundPlan {
  const costs: TripCosts = tripCosts(task);
  const gathered = trips.flat();
  return {
    trips,
    benefitMin: gathered.reduce((sum, stop) => sum + (task.stops[stop]?.benefitMin ?? 0), 0),
    costMin: trips.reduce((sum, trip) => sum + costs.ofTrip(trip), 0),
  };
}
