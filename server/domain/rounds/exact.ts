// The best round there is, for up to a dozen buckets: every trip by Held and Karp, trips put together over subsets.
import type { RoundTask } from "./plan.ts";
import { tripCosts } from "./trip-cost.ts";

type Tables = {
  count: number;
  /** Load of every subset of stops, as bits. */
  loadKg: Float64Array;
  /** Least cost of gathering exactly this subset in one trip; infinite when it can't be carried. */
  tripMin: Float64Array;
  /** Last stop of that trip's best walk through subset by last stop, to walk it backwards. */
  walkMin: Float64Array;
};

const slackKg = 1e-9;

/** Trips of the subset that brings most over what it costs; of equals, the one with fewer stops. */
export function planExactly(task: RoundTask): number[][] {
  const tables = tripsOfSubsets(task);
  const { roundMin, firstTrip } = roundsOfSubsets(tables);
  const best = bestSubset(task, tables, roundMin);
  const trips: number[][] = [];
  for (let rest = best; rest !== 0; rest ^= firstTrip[rest] ?? rest) {
    trips.push(walkOf(task, tables, firstTrip[rest] ?? 0));
  }
  return trips;
}

/**
 * Held and Karp (1962): the load after a subset is that of the subset whatever the order, so the
 * effort of carrying it keeps the recursion exact.
 */
function tripsOfSubsets(task: RoundTask): Tables {
  const count = task.stops.length;
  const size = 1 << count;
  const loadKg = new Float64Array(size);
  for (let subset = 1; subset < size; subset += 1) {
    const low = lowestOf(subset);
    loadKg[subset] = at(loadKg, subset & (subset - 1)) + (task.stops[low]?.loadKg ?? 0);
  }
  const walkMin = new Float64Array(size * count).fill(Number.POSITIVE_INFINITY);
  const tripMin = new Float64Array(size).fill(Number.POSITIVE_INFINITY);
  const tables = { count, loadKg, tripMin, walkMin };
  for (let subset = 1; subset < size; subset += 1) {
    if (at(loadKg, subset) <= task.carryKg + slackKg) fillSubset(task, tables, subset);
  }
  return tables;
}

function fillSubset(task: RoundTask, tables: Tables, subset: number): void {
  const { count, loadKg, walkMin, tripMin } = tables;
  const costs = tripCosts(task);
  let best = Number.POSITIVE_INFINITY;
  let stopCount = 0;
  for (let last = 0; last < count; last += 1) {
    if ((subset & (1 << last)) === 0) continue;
    stopCount += 1;
    const before = subset ^ (1 << last);
    const walked =
      before === 0 ? costs.leg(0, last + 1, 0) : walkTo(task, tables, { before, last });
    walkMin[subset * count + last] = walked;
    best = Math.min(best, walked + costs.leg(last + 1, 0, at(loadKg, subset)));
  }
  tripMin[subset] = best + costs.fixed(stopCount);
}

function walkTo(
  task: RoundTask,
  { count, loadKg, walkMin }: Tables,
  { before, last }: { before: number; last: number },
): number {
  const factor = (1 + task.effort.loadPerKg * at(loadKg, before)) / task.effort.walkMPerMin;
  const toLastM = task.distanceM[last + 1] ?? [];
  let best = Number.POSITIVE_INFINITY;
  for (let previous = 0; previous < count; previous += 1) {
    const walked = at(walkMin, before * count + previous);
    const reached = walked + (toLastM[previous + 1] ?? 0) * factor;
    if (reached < best) best = reached;
  }
  return best;
}

/** The least cost of gathering each subset in as many trips as it takes: the lowest stop's trip first. */
function roundsOfSubsets({ tripMin }: Tables) {
  const size = tripMin.length;
  const roundMin = new Float64Array(size).fill(Number.POSITIVE_INFINITY);
  const firstTrip = new Int32Array(size);
  roundMin[0] = 0;
  for (let subset = 1; subset < size; subset += 1) {
    const low = subset & -subset;
    const others = subset ^ low;
    for (let more = others; ; more = (more - 1) & others) {
      const trip = more | low;
      const costMin = at(tripMin, trip) + at(roundMin, subset ^ trip);
      if (costMin < at(roundMin, subset)) {
        roundMin[subset] = costMin;
        firstTrip[subset] = trip;
      }
      if (more === 0) break;
    }
  }
  return { roundMin, firstTrip };
}

function bestSubset(task: RoundTask, { loadKg }: Tables, roundMin: Float64Array): number {
  const benefitMin = new Float64Array(roundMin.length);
  let best = 0;
  let bestNet = 0;
  for (let subset = 1; subset < roundMin.length; subset += 1) {
    const stop = task.stops[lowestOf(subset)];
    benefitMin[subset] = at(benefitMin, subset & (subset - 1)) + (stop?.benefitMin ?? 0);
    if (task.roomKg !== null && at(loadKg, subset) > task.roomKg + slackKg) continue;
    const net = at(benefitMin, subset) - at(roundMin, subset);
    if (net > bestNet + 1e-12) {
      best = subset;
      bestNet = net;
    }
  }
  return best;
}

/** One best order of a trip, found from its end. */
function walkOf(task: RoundTask, tables: Tables, trip: number): number[] {
  const { count, loadKg, walkMin } = tables;
  const costs = tripCosts(task);
  const order: number[] = [];
  let subset = trip;
  let next = 0;
  while (subset !== 0) {
    const carriedKg = at(loadKg, subset);
    const inSubset = Array.from({ length: count }, (_, stop) => stop).filter(
      (stop) => (subset & (1 << stop)) !== 0,
    );
    const target = next;
    const reached = (stop: number) =>
      at(walkMin, subset * count + stop) + costs.leg(stop + 1, target, carriedKg);
    const last = inSubset.reduce((best, stop) => (reached(stop) < reached(best) ? stop : best));
    order.unshift(last);
    subset ^= 1 << last;
    next = last + 1;
  }
  return order;
}

function lowestOf(subset: number): number {
  return 31 - Math.clz32(subset & -subset);
}

function at(table: Float64Array, index: number): number {
  return table[index] ?? Number.POSITIVE_INFINITY;
}
