// What a vessel says of itself in words: its sap, where it came from, what is written in its book.
import { formatAge, formatTemp, formatVolume } from "../shared/people/format.ts";
import type { Units } from "../shared/wire/api.ts";
import type { VesselLine, VesselPlace, VesselView } from "../shared/wire/vessels.ts";
import { labelOfBucket, type PageFrame } from "./page-frame.ts";
import { keepingWords, riskSaid } from "./pail-words.ts";

export const placeWords: Record<VesselPlace, string> = {
  shade: "in the shade",
  sun: "where the sun gets to it",
  cooler: "in a cooler or snow",
};

const tempFromWords = { probe: "by its thermometer", typed: "as measured", place: "by reckoning" };
const mostTrees = 4;

/** Name and words of each fact there is. */
export function vesselFacts(vessel: VesselView, page: PageFrame): [string, string][] {
  const { units, nowMs } = page;
  const isEmpty = vessel.volumeL < 0.05;
  const stands: [string, string] = ["Stands", placeWords[vessel.place]];
  if (isEmpty) return [["Holds", emptyWords(vessel, page)], stands];
  return [
    ["Holds", `${formatVolume(vessel.volumeL, units)} of ${formatVolume(vessel.capacityL, units)}`],
    ["Since", vessel.sinceMs === null ? "not known" : formatAge(nowMs - vessel.sinceMs)],
    ["Sap", tempWords(vessel, page)],
    ["Keeping", keepingWords(vessel, page) ?? vessel.keepingMissing ?? "two weeks and more"],
    ...riskRow(vessel),
    ["From", treesWords(vessel, page)],
    ...sugarRow(vessel, units),
    stands,
  ];
}

// Sap of which so much was measured stands for the rest.
const enoughShare = 0.9;

function sugarRow(
  { sugarBrix, sugarKnownL, volumeL }: VesselView,
  units: Units,
): [string, string][] {
  if (sugarBrix === null) return [];
  const isAll = sugarKnownL >= enoughShare * volumeL;
  const by = isAll ? "its trees" : `the trees of ${formatVolume(sugarKnownL, units)} of it`;
  return [["Sugar", `${sugarBrix.toFixed(1)} °Bx by ${by}`]];
}

function riskRow({ keeping }: VesselView): [string, string][] {
  return keeping === null ? [] : [["Now", riskSaid[keeping.risk]]];
}

function emptyWords(vessel: VesselView, { units }: PageFrame): string {
  const clean = vessel.dirty ? "not washed since it held sap" : "clean";
  return `nothing of ${formatVolume(vessel.capacityL, units)}, ${clean}`;
}

function tempWords({ tempC, tempFrom }: VesselView, { units }: PageFrame): string {
  if (tempC === null || tempFrom === null) return "temperature not known";
  return `${formatTemp(tempC, units)} ${tempFromWords[tempFrom]}`;
}

function treesWords({ shares }: VesselView, { units }: PageFrame): string {
  const shown = shares
    .slice(0, mostTrees)
    .map(({ label, volumeL }) => `${label} ${formatVolume(volumeL, units)}`);
  const rest = shares.length - shown.length;
  return [...shown, ...(rest > 0 ? [`${rest} more`] : [])].join(", ");
}

/** What to look at when a pour fills a vessel beyond its rim by the book; undefined when there is room. */
export function overFullWords(
  { label, volumeL, capacityL }: Pick<VesselView, "label" | "volumeL" | "capacityL">,
  pouredL: number,
  units: Units,
): string | undefined {
  const afterL = volumeL + pouredL;
  if (afterL <= capacityL) return undefined;
  return `By its book ${label} is over full now, ${formatVolume(afterL, units)} in ${formatVolume(capacityL, units)}: was it so much, and was all that was taken out written down?`;
}

/** "6.2 L from Gatepost", "40.0 L to the boil": as much as the person said, known to be in it or not. */
export function lineWords(line: VesselLine, page: PageFrame): string {
  const volume = formatVolume(line.volumeL + line.shortL, page.units);
  const other = page.yard.vessels.find(({ id }) => id === line.otherVesselId)?.label ?? "a vessel";
  switch (line.kind) {
    case "gathering":
      return `${volume} from ${labelOfBucket(page.yard, line.bucketId ?? "")}`;
    case "in":
      return `${volume} from elsewhere`;
    case "over-in":
      return `${volume} over from ${other}`;
    case "over-out":
      return `${volume} over into ${other}`;
    case "boil":
      return `${volume} to the boil`;
    case "away":
      return `${volume} thrown away`;
  }
}
