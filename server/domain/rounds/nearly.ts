// A good round for many buckets: one long walk past all, cut into trips that can be carried, made better step by step.
import type { RoundTask } from "./plan.ts";
import { type TripCosts, tripCosts } from "./trip-cost.ts";

type Cut = { costMin: number; trips: number[][] };
type Planning = { task: RoundTask; costs: TripCosts };

const slackKg = 1e-9;
const mostPasses = 60;
const mostStarts = 4;

/** Trips over a choice of stops. Deterministic; never overloads a trip or the room there is. */
export function planNearly(task: RoundTask): number[][] {
  const planning = { task, costs: tripCosts(task) };
  const worth = task.stops
    .map((stop, index) => ({ ...stop, index }))
    .filter(({ benefitMin }) => benefitMin > 0);
  let tour = withinRoom(
    task,
    worth.map(({ index }) => index),
  );
  tour = bestTour(planning, tour);
  for (let pass = 0; pass < mostPasses; pass += 1) {
    const next = chosenBetter(planning, tour);
    if (next === undefined) break;
    tour = improved(planning, next);
  }
  const trips = cut(planning, tour).trips;
  return net(planning, tour) > 0 ? trips : [];
}

function benefitOf({ stops }: RoundTask, tour: readonly number[]): number {
  return tour.reduce((sum, stop) => sum + (stops[stop]?.benefitMin ?? 0), 0);
}

function loadOf({ stops }: RoundTask, tour: readonly number[]): number {
  return tour.reduce((sum, stop) => sum + (stops[stop]?.loadKg ?? 0), 0);
}

function net(planning: Planning, tour: readonly number[]): number {
  return benefitOf(planning.task, tour) - leastMin(planning, tour);
}

/** Where room is short, those that bring most for each kilogram. */
function withinRoom(task: RoundTask, stops: number[]): number[] {
  const { roomKg } = task;
  if (roomKg === null) return stops;
  const density = (stop: number) => {
    const { benefitMin = 0, loadKg = 0 } = task.stops[stop] ?? {};
    return benefitMin / Math.max(loadKg, 1e-6);
  };
  const kept: number[] = [];
  for (const stop of [...stops].sort((a, b) => density(b) - density(a))) {
    if (loadOf(task, [...kept, stop]) <= roomKg + slackKg) kept.push(stop);
  }
  return kept;
}

/** The best of several walks: from each stop on to the nearest next, then improved. */
function bestTour(planning: Planning, stops: readonly number[]): number[] {
  const starts = [...stops].slice(0, mostStarts);
  const tours = starts.map((start) => improved(planning, nearestWalk(planning.task, stops, start)));
  return tours.reduce(
    (best, tour) => (leastMin(planning, tour) < leastMin(planning, best) ? tour : best),
    tours[0] ?? [],
  );
}

function nearestWalk({ distanceM }: RoundTask, stops: readonly number[], start: number): number[] {
  const rest = new Set(stops);
  const tour: number[] = [];
  let next: number | undefined = start;
  while (next !== undefined) {
    const here: number = next;
    tour.push(here);
    rest.delete(here);
    const away = (stop: number) => distanceM[here + 1]?.[stop + 1] ?? 0;
    next = [...rest].sort((a, b) => away(a) - away(b))[0];
  }
  return tour;
}

/** Turning round a stretch, and moving one stop elsewhere, as long as either helps. */
function improved(planning: Planning, start: readonly number[]): number[] {
  let tour = [...start];
  let costMin = leastMin(planning, tour);
  for (let pass = 0; pass < mostPasses; pass += 1) {
    const better = neighbours(tour).find((other) => {
      const otherMin = leastMin(planning, other);
      if (otherMin >= costMin - 1e-9) return false;
      costMin = otherMin;
      return true;
    });
    if (better === undefined) return tour;
    tour = better;
  }
  return tour;
}

function neighbours(tour: readonly number[]): number[][] {
  const all: number[][] = [];
  for (let from = 0; from < tour.length; from += 1) {
    for (let to = 0; to < tour.length; to += 1) {
      if (to > from) {
        const turned = tour.slice(from, to + 1).reverse();
        all.push([...tour.slice(0, from), ...turned, ...tour.slice(to + 1)]);
      }
      if (Math.abs(to - from) > 1) {
        const without = tour.filter((_, index) => index !== from);
        all.push([...without.slice(0, to), tour[from] ?? 0, ...without.slice(to)]);
      }
    }
  }
  return all;
}

type LastTrip = { costMin: number; from: number; trip: number[] };

/**
 * The best way to cut one long walk into trips (Prins 2004, from memory): the least cost up to each
 * stop over all last trips that can be carried.
 */
function cut(planning: Planning, tour: readonly number[]): Cut {
  const least: LastTrip[] = [{ costMin: 0, from: 0, trip: [] }];
  for (let end = 1; end <= tour.length; end += 1) {
    const lastTrips = lastTripsTo(planning, tour, end).map((last) => ({
      ...last,
      costMin: last.costMin + (least[last.from]?.costMin ?? 0),
    }));
    least.push(lastTrips.reduce((best, last) => (last.costMin < best.costMin ? last : best)));
  }
  const trips: number[][] = [];
  for (let end = tour.length; end > 0; end = least[end]?.from ?? 0) {
    trips.unshift(least[end]?.trip ?? []);
  }
  return { costMin: least[tour.length]?.costMin ?? 0, trips };
}

/** What the best cut costs, without saying where it is: asked for thousands of times. */
function leastMin({ task, costs }: Planning, tour: readonly number[]): number {
  const least = new Float64Array(tour.length + 1).fill(Number.POSITIVE_INFINITY);
  least[0] = 0;
  for (let end = 1; end <= tour.length; end += 1) {
    let carriedKg = 0;
    for (let from = end - 1; from >= 0; from -= 1) {
      carriedKg += task.stops[tour[from] ?? 0]?.loadKg ?? 0;
      if (carriedKg > task.carryKg + slackKg) break;
      const tripMin =
        costs.fixed(end - from) +
        Math.min(
          walkMin(costs, task, { tour, first: from, last: end - 1 }),
          walkMin(costs, task, { tour, first: end - 1, last: from }),
        );
      least[end] = Math.min(least[end] ?? 0, (least[from] ?? 0) + tripMin);
    }
  }
  return least[tour.length] ?? 0;
}

/** Walking a stretch of the tour from its first to its last stop, in either direction, and home. */
function walkMin(
  costs: TripCosts,
  { stops }: RoundTask,
  { tour, first, last }: { tour: readonly number[]; first: number; last: number },
): number {
  const step = first <= last ? 1 : -1;
  let carriedKg = 0;
  let at = 0;
  let minutes = 0;
  for (let index = first; index !== last + step; index += step) {
    const stop = tour[index] ?? 0;
    minutes += costs.leg(at, stop + 1, carriedKg);
    carriedKg += stops[stop]?.loadKg ?? 0;
    at = stop + 1;
  }
  return minutes + costs.leg(at, 0, carriedKg);
}

/** Every trip that ends the walk at a stop and can be carried, in its better direction; one at least. */
function lastTripsTo({ task, costs }: Planning, tour: readonly number[], end: number): LastTrip[] {
  const found: LastTrip[] = [];
  let carriedKg = 0;
  for (let from = end - 1; from >= 0; from -= 1) {
    carriedKg += task.stops[tour[from] ?? 0]?.loadKg ?? 0;
    if (carriedKg > task.carryKg + slackKg) break;
    const forward = tour.slice(from, end);
    const backward = [...forward].reverse();
    const [forwardMin, backwardMin] = [costs.ofTrip(forward), costs.ofTrip(backward)];
    const isBack = backwardMin < forwardMin;
    const trip = isBack ? backward : forward;
    found.push({ costMin: Math.min(forwardMin, backwardMin), from, trip });
  }
  return found;
}

/** A tour with one stop less or one more that brings more over its cost; undefined when none does. */
function chosenBetter(planning: Planning, tour: readonly number[]): number[] | undefined {
  const { task } = planning;
  const room = task.roomKg ?? Number.POSITIVE_INFINITY;
  const less = tour.map((stop) => tour.filter((other) => other !== stop));
  const outside = task.stops.map((_, stop) => stop).filter((stop) => !tour.includes(stop));
  const more = outside
    .filter((stop) => (task.stops[stop]?.benefitMin ?? 0) > 0)
    .filter((stop) => loadOf(task, [...tour, stop]) <= room + slackKg)
    .flatMap((stop) =>
      Array.from({ length: tour.length + 1 }, (_, place) => [
        ...tour.slice(0, place),
        stop,
        ...tour.slice(place),
      ]),
    );
  let bestNet = net(planning, tour) + 1e-9;
  let best: number[] | undefined;
  for (const other of [...less, ...more]) {
    const otherNet = net(planning, other);
    if (otherNet > bestNet) {
      bestNet = otherNet;
      best = other;
    }
  }
  return best;
}
