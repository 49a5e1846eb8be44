// The round: never beaten by trying everything, never overloaded, and as one would expect of it.
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { planNearly } from "../../../../server/domain/rounds/nearly.ts";
import {
  type Effort,
  planRound,
  type RoundTask,
  type Stop,
  usualEffort,
} from "../../../../server/domain/rounds/plan.ts";
import { tripCosts } from "../../../../server/domain/rounds/trip-cost.ts";

type Point = { x: number; y: number };
const point = fc.record({
  x: fc.integer({ min: -100, max: 100 }),
  y: fc.integer({ min: -100, max: 100 }),
});
const stop = fc.record({
  loadKg: fc.integer({ min: 0, max: 180 }).map((value) => value / 10),
  benefitMin: fc.integer({ min: 0, max: 200 }).map((value) => value / 10),
});
const place = fc.tuple(point, stop);
const home: Point = { x: 0, y: 0 };

function taskFrom(places: readonly (readonly [Point, Stop])[], over: Partial<RoundTask> = {}) {
  const points = [home, ...places.map(([at]) => at)];
  const distanceM = points.map((a) => points.map((b) => Math.hypot(a.x - b.x, a.y - b.y)));
  const stops = places.map(([, one]) => one);
  const task: RoundTask = {
    stops,
    distanceM,
    carryKg: 16,
    roomKg: null,
    effort: usualEffort,
    ...over,
  };
  return task;
}

const netOf = ({ benefitMin, costMin }: { benefitMin: number; costMin: number }) =>
  benefitMin - costMin;

function permutations(list: readonly number[]): number[][] {
  if (list.length <= 1) return [[...list]];
  return list.flatMap((first) =>
    permutations(list.filter((one) => one !== first)).map((rest) => [first, ...rest]),
  );
}

/** Every way of putting the stops into trips. */
function partitions(list: readonly number[]): number[][][] {
  const [first, ...rest] = list;
  if (first === undefined) return [[]];
  return partitions(rest).flatMap((trips) => [
    [[first], ...trips],
    ...trips.map((trip, index) => trips.map((one, at) => (at === index ? [first, ...trip] : one))),
  ]);
}

/** The greatest benefit less cost, by trying every subset, partition and order. */
function bruteNet(task: RoundTask): number {
  const stops = task.stops.map((one) => ({ ...one, loadKg: Math.min(one.loadKg, task.carryKg) }));
  const costs = tripCosts({ ...task, stops });
  const leastOfTrip = new Map<string, number>();
  const tripMin = (trip: number[]) => {
    const key = [...trip].sort().join(",");
    const known = leastOfTrip.get(key);
    if (known !== undefined) return known;
    const load = trip.reduce((sum, index) => sum + stops[index]!.loadKg, 0);
    const least =
      load > task.carryKg + 1e-9
        ? Number.POSITIVE_INFINITY
        : Math.min(...permutations(trip).map((order) => costs.ofTrip(order)));
    leastOfTrip.set(key, least);
    return least;
  };
  let best = 0;
  for (let subset = 0; subset < 1 << stops.length; subset += 1) {
    const chosen = stops.map((_, index) => index).filter((index) => (subset >> index) & 1);
    const loadKg = chosen.reduce((sum, index) => sum + stops[index]!.loadKg, 0);
    if (task.roomKg !== null && loadKg > task.roomKg + 1e-9) continue;
    const benefit = chosen.reduce((sum, index) => sum + stops[index]!.benefitMin, 0);
    for (const trips of partitions(chosen)) {
      const cost = trips.reduce((sum, trip) => sum + tripMin(trip), 0);
      best = Math.max(best, benefit - cost);
    }
  }
  return best;
}

function requireCarried(task: RoundTask, trips: readonly (readonly number[])[]): void {
  const load = (list: readonly number[]) =>
    list.reduce((sum, index) => sum + Math.min(task.stops[index]!.loadKg, task.carryKg), 0);
  for (const trip of trips) expect(load(trip)).toBeLessThanOrEqual(task.carryKg + 1e-6);
  const all = trips.flat();
  expect(new Set(all).size).toBe(all.length);
  if (task.roomKg !== null) expect(load(all)).toBeLessThanOrEqual(task.roomKg + 1e-6);
}

const room = fc.option(fc.integer({ min: 0, max: 60 }), { nil: null });

describe("up to a dozen buckets", () => {
  test("trying everything is never better, with up to seven", () => {
    fc.assert(
      fc.property(fc.array(place, { maxLength: 5 }), room, (places, roomKg) => {
        const task = taskFrom(places, { roomKg });
        const plan = planRound(task);
        requireCarried(task, plan.trips);
        expect(netOf(plan)).toBeCloseTo(bruteNet(task), 6);
      }),
      { numRuns: 60 },
    );
    fc.assert(
      fc.property(fc.array(place, { minLength: 6, maxLength: 7 }), (places) => {
        const task = taskFrom(places);
        expect(netOf(planRound(task))).toBeCloseTo(bruteNet(task), 6);
      }),
      { numRuns: 12 },
    );
  });

  test("a bucket with nothing in it and nothing to gain never changes the plan", () => {
    fc.assert(
      fc.property(fc.array(place, { maxLength: 7 }), point, (places, at) => {
        const plan = planRound(taskFrom(places));
        const more = planRound(taskFrom([...places, [at, { loadKg: 0, benefitMin: 0 }]]));
        expect(netOf(more)).toBeCloseTo(netOf(plan), 9);
        expect(more.trips.flat()).not.toContain(places.length);
      }),
    );
  });

  test("is the same whatever the buckets are numbered by", () => {
    fc.assert(
      fc.property(fc.array(place, { maxLength: 8 }), (places) => {
        const turned = planRound(taskFrom([...places].reverse()));
        expect(netOf(turned)).toBeCloseTo(netOf(planRound(taskFrom(places))), 9);
      }),
    );
  });

  test("visits all when what they bring is great enough", () => {
    fc.assert(
      fc.property(fc.array(place, { maxLength: 8 }), (places) => {
        const task = taskFrom(places.map(([at, one]) => [at, { ...one, benefitMin: 1e6 }]));
        expect(planRound(task).trips.flat()).toHaveLength(places.length);
      }),
    );
  });

  test("keeps its trips when all distances grow alike and walking is all that counts", () => {
    const effort: Effort = { ...usualEffort, tripMin: 0, stopMin: 0 };
    const walks = (task: RoundTask) => {
      const { trips } = planRound(task);
      return trips.reduce((sum, trip) => sum + tripCosts(task).ofTrip(trip), 0);
    };
    fc.assert(
      fc.property(fc.array(place, { maxLength: 7 }), (places) => {
        const rich = places.map(([at, one]) => [at, { ...one, benefitMin: 1e6 }] as const);
        const task = taskFrom(rich, { effort, carryKg: 18 });
        const far = { ...task, distanceM: task.distanceM.map((row) => row.map((m) => 3 * m)) };
        expect(walks(far)).toBeCloseTo(3 * walks(task), 6);
      }),
    );
  });

  test("without weight it is the shortest walk past all and home", () => {
    const effort: Effort = { walkMPerMin: 1, loadPerKg: 0, tripMin: 0, stopMin: 0 };
    fc.assert(
      fc.property(fc.array(point, { minLength: 1, maxLength: 7 }), (points) => {
        const task = taskFrom(
          points.map((at) => [at, { loadKg: 0, benefitMin: 1e6 }]),
          { effort },
        );
        const costs = tripCosts(task);
        const orders = permutations(points.map((_, index) => index));
        const least = Math.min(...orders.map((order) => costs.ofTrip(order)));
        expect(planRound(task).costMin).toBeCloseTo(least, 6);
      }),
      { numRuns: 30 },
    );
  });

  test("takes of a bucket that is too heavy what can be carried", () => {
    const plan = planRound(
      taskFrom([
        [
          { x: 10, y: 0 },
          { loadKg: 40, benefitMin: 60 },
        ],
      ]),
    );
    expect(plan.trips).toEqual([[0]]);
  });

  test("fetches the heavy one last where the way round is the same", () => {
    const light = { loadKg: 1, benefitMin: 30 };
    const heavy = { loadKg: 12, benefitMin: 30 };
    const plan = planRound(
      taskFrom([
        [{ x: 40, y: 40 }, heavy],
        [{ x: -40, y: 40 }, light],
      ]),
    );
    expect(plan.trips).toEqual([[1, 0]]);
  });

  test("with nothing worth the walk nobody goes", () => {
    const task = taskFrom([
      [
        { x: 90, y: 0 },
        { loadKg: 1, benefitMin: 1 },
      ],
    ]);
    expect(planRound(task)).toEqual({ trips: [], benefitMin: 0, costMin: 0 });
  });
});

describe("many buckets", () => {
  const many = fc.array(place, { minLength: 13, maxLength: 24 });

  test("no trip and no vessel is overloaded, and going is worth it", () => {
    fc.assert(
      fc.property(many, room, (places, roomKg) => {
        const task = taskFrom(places, { roomKg });
        const plan = planRound(task);
        requireCarried(task, plan.trips);
        expect(netOf(plan)).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 15 },
    );
  });

  test("comes within a few per cent of the best where that can be known", () => {
    let exact = 0;
    let near = 0;
    fc.assert(
      fc.property(fc.array(place, { minLength: 8, maxLength: 10 }), (places) => {
        const task = taskFrom(places.map(([at, one]) => [at, { ...one, loadKg: one.loadKg / 2 }]));
        const best = planRound(task);
        const trips = planNearly(task);
        requireCarried(task, trips);
        const costs = tripCosts(task);
        const gained = trips.flat().reduce((sum, one) => sum + task.stops[one]!.benefitMin, 0);
        const net = gained - trips.reduce((sum, trip) => sum + costs.ofTrip(trip), 0);
        expect(net).toBeLessThanOrEqual(netOf(best) + 1e-6);
        exact += netOf(best);
        near += net;
      }),
      { numRuns: 40, seed: 7 },
    );
    expect(near).toBeGreaterThan(0.97 * exact);
  });
});
