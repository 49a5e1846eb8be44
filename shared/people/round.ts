// What the next round comes to, in one sentence.
import type { Units } from "../wire/api.ts";
import type { NextRound } from "../wire/rounds.ts";
import { formatVolume } from "./format.ts";

/** "Gather 5 buckets on 2 trips: about 24.5 L in 31 min.", that all of it can wait, or why to stay. */
export function roundSentence(round: NextRound, units: Units): string {
  const stops = round.trips.reduce((sum, trip) => sum + trip.stops.length, 0);
  if (stops === 0) return "No bucket is worth the walk now.";
  const buckets = stops === 1 ? "1 bucket" : `${stops} buckets`;
  const trips = round.trips.length === 1 ? "one trip" : `${round.trips.length} trips`;
  const minutes = Math.ceil(round.minutes);
  const brings = `about ${formatVolume(round.volumeL, units)} in ${minutes} min.`;
  if (round.dueIds.length > 0) return `Gather ${buckets} on ${trips}: ${brings}`;
  return `Nothing has to be gathered now. Worth the walk: ${buckets} on ${trips}, ${brings}`;
}
