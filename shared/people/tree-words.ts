// Trees, holes and how to drill them, in people's words and units.
import { localParts } from "../local-time.ts";
import { formatQuantity, quantities } from "../quantities.ts";
import type { DrillingProblem } from "../trees/drilling.ts";
import type { TapGuideline, TapGuidelineKey } from "../trees/guidelines.ts";
import { holeAge, holeFacts } from "../trees/hole.ts";
import type { TapAdvice, TreeHealth } from "../trees/tap-advice.ts";
import { msPerDay } from "../units.ts";
import type { Units } from "../wire/api.ts";
import { formatAge, formatDate } from "./format.ts";

/** A guideline by its rule, in the reader's units. */
export function guidelineWords({ key, steps }: TapGuideline, units: Units): string {
  const through = (widthCm: number) =>
    formatQuantity(widthCm, { ...quantities.diameterCm, figures: 2 }, units);
  const [firstCm = 0, secondCm = 0] = steps.map(({ fromCm }) => fromCm);
  const words: Record<TapGuidelineKey, string> = {
    careful: `Careful: one tap from ${through(firstCm)}, two above ${through(secondCm)}`,
    "late-second": `Second tap only from ${through(secondCm)}`,
    ontario: `Second tap only from ${through(secondCm)}, as in Ontario`,
    older: `Older: one tap from ${through(firstCm)}, one more every ${through(secondCm - firstCm)}, four at most`,
  };
  return words[key];
}

export const healthWords: Record<TreeHealth, string> = {
  sound: "sound",
  slow: "old holes close slowly",
  hurt: "dead limbs, wounds, insects or salt burn",
};

/** What is known of the sap of a species. */
export const speciesFacts: Record<string, string> = {
  "sugar maple":
    "Sap of 2 to 3 % sugar, 2.45 % in the mean of a survey (Rapp, from US Geological Survey data).",
  "black maple": "Sap like that of sugar maple (Rapp).",
  "red maple": "Less sugar, earlier buds and cloudier syrup (Ohio State University).",
  "silver maple": "Less sugar, earlier buds and cloudier syrup (Ohio State University).",
  "another maple": "",
};

/** "2 taps: 46.1 cm through" or why none. */
export function adviceWords(advice: TapAdvice | undefined, units: Units): string {
  if (advice === undefined) return "not measured yet";
  const through = `${formatQuantity(advice.diameterCm, { ...quantities.diameterCm, figures: 3 }, units)} through`;
  if (advice.heldBackBy === "slow") return `${through}: let it rest while old holes close`;
  if (advice.heldBackBy === "hurt") return `${through}: leave it alone while it is hurt`;
  if (advice.taps === 0) return `${through}: too thin to tap`;
  return `${through}: room for ${advice.taps === 1 ? "1 tap" : `${advice.taps} taps`}`;
}

type Drilled = { tappedMs: number | null; pulledMs: number | null };
type Reader = { nowMs: number; timeZone: string };

/** "drilled 12 days ago, likely to dry between 2 and 16 Apr"; what a hole is, in a line. */
export function holeWords({ tappedMs, pulledMs }: Drilled, { nowMs, timeZone }: Reader): string {
  if (pulledMs !== null) return `spile pulled ${dated(pulledMs, { nowMs, timeZone })}`;
  if (tappedMs === null) return "tapped, the day isn’t known";
  if (tappedMs > nowMs) return `to be drilled ${formatDate(tappedMs, timeZone)}`;
  const age = formatAge(nowMs - tappedMs);
  const { from, to } = holeFacts.lifeDays;
  const dries = [from, to].map((days) => formatDate(tappedMs + days * msPerDay, timeZone));
  const { stage } = holeAge({ drilledAtMs: tappedMs, nowMs });
  if (stage === "past its time") return `drilled ${age}, past its 4 to 6 weeks: pull the spile`;
  return `drilled ${age}, likely to dry between ${dries.join(" and ")}`;
}

type HowDrilled = {
  bitMm: number | null;
  depthMm: number | null;
  slopeDegrees: number | null;
  woodTempC: number | null;
};

/** What is on record of how a hole was drilled, a few words each: "38 mm deep", "wood at 2 °C". */
export function drilledWords(hole: HowDrilled, units: Units): string[] {
  const { bitMm, depthMm, slopeDegrees, woodTempC } = hole;
  return [
    bitMm === null ? "" : `bit ${drillLength(bitMm, units)}`,
    depthMm === null ? "" : `${drillLength(depthMm, units)} deep`,
    slopeDegrees === null
      ? ""
      : `${formatQuantity(slopeDegrees, quantities.slopeDegrees, units)} upwards`,
    woodTempC === null ? "" : `wood at ${formatQuantity(woodTempC, quantities.woodTempC, units)}`,
  ].filter((words) => words !== "");
}

/** "5 Mar", with its year unless that is this one. */
function dated(atMs: number, { nowMs, timeZone }: Reader): string {
  const year = (ms: number) => localParts(ms, timeZone).dayKey.slice(0, 4);
  const date = formatDate(atMs, timeZone);
  return year(atMs) === year(nowMs) ? date : `${date} ${year(atMs)}`;
}

/** Why a hole can't be so far around its trunk; undefined when it can, or one of both isn't known. */
export function beyondGirthWords(
  { aroundCm, girthCm }: { aroundCm: number | null; girthCm: number | null },
  units: Units,
): string | undefined {
  if (aroundCm === null || girthCm === null || aroundCm <= girthCm) return undefined;
  const told = (lengthCm: number) => formatQuantity(lengthCm, quantities.aroundCm, units);
  return `The trunk is only ${told(girthCm)} around: a hole can’t be ${told(aroundCm)} around it.`;
}

/** How to drill, a line each with its source. */
export function drillingLines(units: Units): { words: string; source: string }[] {
  const { bitMm, depthMm, slopeDegrees, woodTempC } = holeFacts;
  const mm = (value: number) => drillLength(value, units);
  return [
    { words: `Bit ${mm(bitMm.value)}; older spiles take ${mm(bitMm.older)}`, source: bitMm.source },
    { words: `Depth ${mm(depthMm.value)}, never over ${mm(depthMm.most)}`, source: depthMm.source },
    {
      words: `${slopeDegrees.from} to ${slopeDegrees.to}° upwards into the tree, so that it drains`,
      source: slopeDegrees.source,
    },
    {
      words: `Wood warmer than ${formatQuantity(woodTempC.above, quantities.woodTempC, units)}`,
      source: woodTempC.source,
    },
    {
      words: "Creamy white shavings are sound wood; brown ones an old wound: move on",
      source: "Ontario Ministry of Agriculture",
    },
    {
      words: "Tap the spile in gently and stop when its sound changes",
      source: "Ontario Ministry of Agriculture",
    },
  ];
}

export const drillingProblemWords: Record<DrillingProblem, string> = {
  "too deep": "Deeper than any guideline allows: it cuts into more wood than it gives sap.",
  "wide bit": "A narrower bit heals sooner and gives as much.",
  "too steep": "Steeper than 10°: the spile hangs loose.",
  "too flat": "Flatter than 5°: the hole doesn’t drain.",
  "frozen wood": "The wood may be frozen and split: wait for a warmer hour.",
};

/** "7.9 mm", "5/16 in". */
function drillLength(lengthMm: number, units: Units): string {
  return units === "us"
    ? inchFraction(lengthMm)
    : formatQuantity(lengthMm, quantities.holeDepthMm, units);
}

const sixteenthMm = 25.4 / 16;

/** "5/16 in", "1 1/2 in": how bits are sold. */
function inchFraction(lengthMm: number): string {
  const sixteenths = Math.round(lengthMm / sixteenthMm);
  const whole = Math.floor(sixteenths / 16);
  const rest = sixteenths % 16;
  const step = [8, 4, 2, 1].find((size) => rest % size === 0) ?? 1;
  const part = rest === 0 ? "" : `${rest / step}/${16 / step}`;
  return `${[whole === 0 ? "" : String(whole), part].filter((word) => word !== "").join(" ")} in`;
}
