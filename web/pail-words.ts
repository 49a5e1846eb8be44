// What a pail says of itself in words: its state, brim time and keeping, and all of it as a label.
import { brimSentence } from "../shared/people/brim-words.ts";
import {
  formatAge,
  formatDeadline,
  formatFlow,
  formatMass,
  formatTemp,
  formatVolume,
} from "../shared/people/format.ts";
import { leastToBoilL } from "../shared/sap/least.ts";
import { msPerDay } from "../shared/units.ts";
import type { BucketView, DoNowPart, Keeping, Units } from "../shared/wire/api.ts";
import { formatMoment } from "./format.ts";
import type { PageFrame } from "./page-frame.ts";
import { doesBrimMatter } from "./urgency.ts";

/** The state in two or three words. */
export function stateWords(bucket: BucketView, nowMs: number): string {
  switch (bucket.state) {
    case "parked":
      return "Parked";
    case "unheard":
      return bucket.lastReadingMs === null ? "Not heard yet" : "Heard, settling";
    case "silent":
      return bucket.lastReadingMs === null
        ? "Silent"
        : `Silent, last heard ${formatAge(nowMs - bucket.lastReadingMs)}`;
    case "doubtful":
      return "Weight in doubt";
    case "away":
      return "Lifted off";
    case "brimful":
      return "At the rim";
    case "frozen":
      return frozenWords(bucket);
    case "running":
      return "Running";
    case "resting":
      return isEmpty(bucket) ? "Empty" : "Quiet";
  }
}

/** Nothing to gather in it: less than two hundredths of what it holds. */
export function isEmpty({ state, fullFraction, laidOn }: BucketView): boolean {
  if (laidOn?.isCounted === false) return false;
  return state === "resting" && fullFraction !== null && fullFraction < 0.02;
}

/** Undefined while its board's clock is right, or nearly. */
export function aheadWords({ isDatedAhead }: BucketView): string | undefined {
  return isDatedAhead ? "Readings are dated ahead of now, and wait until then" : undefined;
}

/** The same at length, with what to do. */
export function aheadAdvice(bucket: BucketView): string | undefined {
  const words = aheadWords(bucket);
  if (words === undefined) return undefined;
  const board = bucket.cell === null ? "its board" : `board ${bucket.cell.split("/")[0]}`;
  return `${words}: the clock of ${board} is ahead of the server's, or was. Set the wrong one right.`;
}

/** "8.0 kg more since 14:10 that did not run in"; undefined when nothing came at once that is still in doubt. */
export function laidOnWords({ laidOn }: BucketView, page: PageFrame): string | undefined {
  if (laidOn === null || laidOn.isCounted) return undefined;
  return `${formatMass(laidOn.massKg, page.units)} more since ${formatMoment(laidOn.sinceMs, page)} that did not run in`;
}

/** The same at length, with what to do; also once it counts. */
export function laidOnAdvice(bucket: BucketView, page: PageFrame): string | undefined {
  const { laidOn } = bucket;
  if (laidOn === null) return undefined;
  const doubted = laidOnWords(bucket, page);
  if (doubted !== undefined) {
    return `${doubted}: take it off if something lies on it; sap that was poured in counts once it has been at rest for some ten minutes.`;
  }
  return `${formatMass(laidOn.massKg, page.units)} came at once, ${formatMoment(laidOn.sinceMs, page)}, and counts as sap in it: take it off if something lies on it.`;
}

/** "6.0 L", or "was 6.0 L" where nobody weighs it now; undefined where there is nothing to say. */
export function litresWords(bucket: BucketView, units: Units): string | undefined {
  const { volumeL, state } = bucket;
  if (volumeL === null || state === "parked" || state === "unheard") return undefined;
  const words = formatVolume(volumeL, units);
  if (state === "doubtful") return `${words}?`;
  return state === "away" || state === "silent" ? `was ${words}` : words;
}

function frozenWords(bucket: BucketView): string {
  const iceFraction = bucket.keeping?.iceFraction ?? 0;
  return iceFraction > 0.05 ? `Frozen, ${Math.round(iceFraction * 100)} % ice` : "Frozen";
}

/** "Brims about 18:45, likely 17:30 to 21:00"; undefined when it doesn't matter. */
export function brimWords(bucket: BucketView, page: PageFrame): string | undefined {
  if (bucket.brim === null || !doesBrimMatter(bucket, page.nowMs)) return undefined;
  return brimSentence(bucket.brim, page);
}

/** Sap that keeps, in a pail or a vessel. */
type Kept = { keeping: Keeping | null; volumeL: number | null; state?: BucketView["state"] };

/** "Boil by Thu 12:00", or that it keeps while frozen; undefined for an empty pail or where nothing is known. */
export function keepingWords(bucket: Kept, page: PageFrame): string | undefined {
  const boilByMs = bucket.keeping?.boilByMs ?? null;
  if (boilByMs === null || bucket.state === "parked" || (bucket.volumeL ?? 0) < leastToBoilL) {
    return undefined;
  }
  if (boilByMs <= page.nowMs) return "Past its boil-by: taste and look before boiling";
  if (bucket.state === "frozen" && boilByMs > page.nowMs + msPerDay) return "Keeps while frozen";
  return `Boil by ${formatDeadline(boilByMs, page)}`;
}

/** Stands wherever keeping is shown at length. */
export const keepingAdvice =
  "Keeping is advice, not a food-safety guarantee: look, smell and taste before you boil.";

export const riskSaid: Record<Keeping["risk"], string> = {
  fresh: "keeps well so far",
  ageing: "ageing: it makes darker syrup from here on",
  late: "boil it now",
  doubtful: "cloudy or ropy by now: smell it before any use",
};

/** "4.2 °C by reckoning, keeps well so far"; undefined with no sap in it or nothing known. */
export function riskWords(bucket: Kept, units: Units): string | undefined {
  const { keeping, volumeL } = bucket;
  if (keeping === null || (volumeL ?? 0) < leastToBoilL) return undefined;
  return `${formatTemp(keeping.sapTempC, units)} by reckoning, ${riskSaid[keeping.risk]}`;
}

/** Everything the drawing shows, for those who don't see it. */
export function pailLabel(
  bucket: BucketView,
  page: PageFrame,
  todo?: DoNowPart["verb"] | undefined,
): string {
  const { volumeL, flowLPerH } = bucket;
  const parts = [
    bucket.label,
    stateWords(bucket, page.nowMs),
    volumeL === null
      ? "volume not known"
      : `${litresWords(bucket, page.units) ?? formatVolume(volumeL, page.units)} of ${formatVolume(bucket.capacityL, page.units)}`,
    flowLPerH !== null && bucket.state === "running"
      ? formatFlow(flowLPerH, page.units)
      : undefined,
    laidOnWords(bucket, page),
    aheadWords(bucket),
    brimWords(bucket, page),
    keepingWords(bucket, page),
    todo === undefined ? undefined : `To do: ${todo}`,
  ];
  return parts.filter((part) => part !== undefined).join(". ");
}
