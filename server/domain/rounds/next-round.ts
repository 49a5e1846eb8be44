// The next round in full: which buckets, on which trips, what is in each hand, what is left and why.
import { gFromVolumeL, volumeLFromG } from "../../../shared/sap/density.ts";
import { kgFromG } from "../../../shared/units.ts";
import type { NextRound, RoundStop, RoundTrip } from "../../../shared/wire/rounds.ts";
import type { PacedLeg, SketchPlace } from "./distances.ts";
import { type Distances, distancesBetween, homePlace, placeOfTree } from "./distances.ts";
import { mostExact, planRound, type RoundPlan, type RoundTask, usualEffort } from "./plan.ts";
import { tripCosts } from "./trip-cost.ts";
import { type RoundBucket, type Worth, worthOf } from "./worth.ts";

export type NextRoundInput = {
  nowMs: number;
  /** The visit after this one: what is gathered now need not fear what happens until then. */
  afterMs: number;
  buckets: readonly RoundBucket[];
  places: readonly SketchPlace[];
  paced: readonly PacedLeg[];
  /** Places that were only laid out in rows. */
  laidOut: readonly string[];
  carryKg: number;
  /** The vessel being filled. */
  vessel: { vesselId: string; label: string; freeL: number } | null;
};

type Weighed = { bucket: RoundBucket; worth: Worth };
type Planned = {
  input: NextRoundInput;
  weighed: Weighed[];
  task: RoundTask;
  distances: Distances;
  plan: RoundPlan;
};

const rounded = (value: number, decimals: number) => Number(value.toFixed(decimals));

export function nextRound(input: NextRoundInput): NextRound {
  const judged = input.buckets.map((bucket) => ({ bucket, worth: worthOf(bucket, input) }));
  const weighed = judged.filter((one): one is Weighed => typeof one.worth !== "string");
  const skipped = judged.flatMap(({ bucket, worth }) =>
    typeof worth === "string" ? [leftOf(bucket, worth)] : [],
  );
  const asked = [homePlace, ...weighed.map(({ bucket }) => placeOf(bucket))];
  const distances = distancesBetween(asked, input);
  const task: RoundTask = {
    stops: weighed.map(({ worth }) => ({
      loadKg: kgFromG(gFromVolumeL(worth.pourL)),
      benefitMin: worth.benefitMin,
    })),
    distanceM: distances.distanceM,
    carryKg: input.carryKg,
    roomKg: input.vessel === null ? null : kgFromG(gFromVolumeL(Math.max(0, input.vessel.freeL))),
    effort: usualEffort,
  };
  const planned = { input, weighed, task, distances, plan: planRound(task) };
  const trips = planned.plan.trips.map((trip) => tripOf(planned, trip));
  const gone = new Set(planned.plan.trips.flat());
  const left = weighed.filter((_, index) => !gone.has(index));
  const noRoom = left.filter((one) => hasNoRoom(planned, one));
  return {
    nowMs: Math.round(input.nowMs),
    carryKg: input.carryKg,
    trips,
    left: [...left.map((one) => whyLeft(one, noRoom, input)), ...skipped],
    minutes: rounded(
      trips.reduce((sum, { minutes }) => sum + minutes, 0),
      1,
    ),
    volumeL: rounded(
      trips.flatMap(({ stops }) => stops).reduce((sum, one) => sum + one.volumeL, 0),
      2,
    ),
    dueIds: trips
      .flatMap(({ stops }) => stops.map(({ bucketId }) => bucketId))
      .filter((id) => weighed.some(({ bucket }) => bucket.due && bucket.bucketId === id)),
    noRoomIds: noRoom.map(({ bucket }) => bucket.bucketId),
    vessel:
      input.vessel === null ? null : { ...input.vessel, freeL: rounded(input.vessel.freeL, 2) },
    guessedDistances: distances.isKnown.some((row) => row.includes(false)),
    exact: weighed.length <= mostExact,
  };
}

function placeOf(bucket: RoundBucket): string {
  return bucket.treeId === null ? `bucket/${bucket.bucketId}` : placeOfTree(bucket.treeId);
}

/** What is poured goes half and half into the two hands. */
function tripOf(planned: Planned, trip: readonly number[]): RoundTrip {
  const { task, distances } = planned;
  const costs = tripCosts({ ...task, stops: carried(task) });
  let carriedKg = 0;
  let at = 0;
  const stops = trip.flatMap((index): RoundStop[] => {
    const one = planned.weighed[index];
    if (one === undefined) return [];
    const to = index + 1;
    const loadKg = Math.min(task.stops[index]?.loadKg ?? 0, task.carryKg);
    const minutes = costs.leg(at, to, carriedKg) + task.effort.stopMin;
    const metres = distances.distanceM[at]?.[to] ?? 0;
    const isGuess = distances.isKnown[at]?.[to] === false;
    carriedKg += loadKg;
    at = to;
    return [stopOf(one, { loadKg, carriedKg, minutes, metres, isGuess })];
  });
  return {
    stops,
    loadKg: rounded(carriedKg, 2),
    homeM: rounded(distances.distanceM[at]?.[0] ?? 0, 1),
    minutes: rounded(costs.ofTrip(trip), 1),
  };
}

function carried({ stops, carryKg }: RoundTask) {
  return stops.map((stop) => ({ ...stop, loadKg: Math.min(stop.loadKg, carryKg) }));
}

function stopOf(
  { bucket, worth }: Weighed,
  way: { loadKg: number; carriedKg: number; minutes: number; metres: number; isGuess: boolean },
): RoundStop {
  const volumeL = volumeLFromG(way.loadKg * 1000);
  return {
    bucketId: bucket.bucketId,
    volumeL: rounded(volumeL, 2),
    loadKg: rounded(way.loadKg, 2),
    leavesL: rounded(Math.max(0, worth.pourL - volumeL), 2),
    distanceM: rounded(way.metres, 1),
    isGuess: way.isGuess,
    carriedKg: rounded(way.carriedKg, 2),
    eachHandKg: rounded(way.carriedKg / 2, 2),
    minutes: rounded(way.minutes, 1),
    why: worth.why,
  };
}

type Left = NextRound["left"][number];

function leftOf({ bucketId, volumeL }: RoundBucket, why: string): Left {
  return { bucketId, volumeL: volumeL === null ? null : rounded(volumeL, 2), why };
}

/** Left behind because what is taken leaves too little room for it. */
function hasNoRoom({ plan, task }: Planned, { worth }: Weighed): boolean {
  const takenKg = plan.trips
    .flat()
    .reduce((sum, index) => sum + (task.stops[index]?.loadKg ?? 0), 0);
  return task.roomKg !== null && takenKg + kgFromG(gFromVolumeL(worth.pourL)) > task.roomKg;
}

function whyLeft(one: Weighed, noRoom: readonly Weighed[], { vessel }: NextRoundInput): Left {
  return noRoom.includes(one) && vessel !== null
    ? leftOf(one.bucket, `no room for it in ${vessel.label}`)
    : leftOf(one.bucket, "can wait: it brings less than the walk to it costs");
}
