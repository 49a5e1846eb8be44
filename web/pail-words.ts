// What a pail says of itself in words: its state, brim time and keeping, and all of it as a label.
import {
  formatAge,
  formatDeadline,
  formatFlow,
  formatTemp,
  formatVolume,
} from "../shared/people/format.ts";
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
      return "Not heard yet";
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
      return "Not running";
  }
}

function frozenWords(bucket: BucketView): string {
  const iceFraction = bucket.keeping?.iceFraction ?? 0;
  return iceFraction > 0.05 ? `Frozen, ${Math.round(iceFraction * 100)} % ice` : "Frozen";
}

/** "Brims about 18:40, likely 17:20–21:00"; undefined when it doesn't matter. */
export function brimWords(bucket: BucketView, page: PageFrame): string | undefined {
  const { brim } = bucket;
  if (brim === null || !doesBrimMatter(bucket, page.nowMs)) return undefined;
  const at = (atMs: number) => formatMoment(atMs, page);
  const { t10Ms, t50Ms, t90Ms } = brim;
  if (t50Ms === null) {
    const odds = oddsWords(brim.probability);
    return t10Ms === null
      ? `${odds} that it brims over before you come`
      : `May brim from ${at(t10Ms)}, ${odds.toLowerCase()}`;
  }
  if (t50Ms <= page.nowMs) return "Brims any moment";
  if (t10Ms === null) return `Brims about ${at(t50Ms)}`;
  const spread =
    t90Ms === null ? `hardly before ${at(t10Ms)}` : `likely ${at(t10Ms)} to ${at(t90Ms)}`;
  return `Brims about ${at(t50Ms)}, ${spread}`;
}

/** A chance as people say it. */
export function oddsWords(probability: number): string {
  if (probability >= 0.9) return "Almost sure";
  if (probability >= 0.6) return "Likely";
  if (probability >= 0.4) return "As likely as not";
  return `1 chance in ${Math.max(2, Math.round(1 / Math.max(probability, 0.01)))}`;
}

/** Sap that keeps, in a pail or a vessel. */
type Kept = { keeping: Keeping | null; volumeL: number | null; state?: BucketView["state"] };

/** "Boil by Thu 12:00"; undefined for an empty pail or where nothing is known. */
export function keepingWords(bucket: Kept, page: PageFrame): string | undefined {
  const boilByMs = bucket.keeping?.boilByMs ?? null;
  if (boilByMs === null || bucket.state === "parked" || (bucket.volumeL ?? 0) < 0.2) {
    return undefined;
  }
  if (boilByMs <= page.nowMs) return "Past its boil-by: taste and look before boiling";
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
  if (keeping === null || (volumeL ?? 0) < 0.2) return undefined;
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
      : `${formatVolume(volumeL, page.units)} of ${formatVolume(bucket.capacityL, page.units)}`,
    flowLPerH !== null && bucket.state === "running"
      ? formatFlow(flowLPerH, page.units)
      : undefined,
    brimWords(bucket, page),
    keepingWords(bucket, page),
    todo === undefined ? undefined : `To do: ${todo}`,
  ];
  return parts.filter((part) => part !== undefined).join(". ");
}
