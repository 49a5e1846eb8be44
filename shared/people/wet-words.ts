// Rain in a bucket and snow on its lid, in words.
import type { Units } from "../wire/api.ts";
import type { WetView } from "../wire/wet.ts";
import { formatFlow, formatMass, formatVolume } from "./format.ts";

const leastRainL = 0.05;

/** What falls, what of it is in the bucket and what lies on the lid; nothing on a dry day. */
export function wetWords(wet: WetView, units: Units): string[] {
  return [...fallingWords(wet, units), ...lyingWords(wet, units)];
}

function fallingWords({ falling, fallingLPerH }: WetView, units: Units): string[] {
  if (falling === null || fallingLPerH === null) return [];
  const where = falling === "rain" ? "rain is running in" : "snow is falling on it";
  return [`${where}, ${formatFlow(fallingLPerH, units)} by the look of all buckets`];
}

/** What stays when it has ceased to fall. */
export function lyingWords({ rainL, lidSnowKg }: WetView, units: Units): string[] {
  const rain = rainL < leastRainL ? [] : [`${formatVolume(rainL, units)} of rain in it`];
  const snow = lidSnowKg === 0 ? [] : [`snow on the lid, about ${formatMass(lidSnowKg, units)}`];
  return [...rain, ...snow];
}
