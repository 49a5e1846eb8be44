// What the next round comes to, in one sentence.
import type { Units } from "../wire/api.ts";
import type { NextRound } from "../wire/rounds.ts";
import { formatCount, formatVolume } from "./format.ts";

/**
 * "Gather 5 buckets on 2 trips: about 24.5 L in 31 min.", that all of it can wait, that there is no room, or
 * why to stay.
 */
export function roundSentence(round: NextRound, units: Units): string {
  const { trips, vessel, noRoomIds } = round;
  const stops = trips.reduce((sum, trip) => sum + trip.stops.length, 0);
  const outside = formatCount(noRoomIds.length, "bucket");
  if (stops === 0) {
    if (vessel === null || noRoomIds.length === 0) return "No bucket is worth the walk now.";
    const room = formatVolume(vessel.freeL, units);
    return `Make room first: ${vessel.label} has room for ${room}, too little for any of ${outside}.`;
  }
  const walk = `${formatCount(stops, "bucket")} on ${trips.length === 1 ? "one trip" : `${trips.length} trips`}`;
  const brings = `about ${formatVolume(round.volumeL, units)} in ${Math.ceil(round.minutes)} min.`;
  const gather =
    round.dueIds.length > 0
      ? `Gather ${walk}: ${brings}`
      : `Nothing has to be gathered now. Worth the walk: ${walk}, ${brings}`;
  if (vessel === null || noRoomIds.length === 0) return gather;
  return `${gather} Then ${vessel.label} has no room for ${outside} more.`;
}
