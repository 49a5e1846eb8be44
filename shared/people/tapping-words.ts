// When to tap and what the days ahead may bring, in people's words.
import type { Units } from "../wire/api.ts";
import type { ComingRuns } from "../wire/tapping.ts";
import { formatDayKey, formatVolume } from "./format.ts";
import { noDaysWords } from "./outlook.ts";

type Advice = ComingRuns["advice"];
type Told = Pick<ComingRuns, "advice" | "outlook">;
type Day = ComingRuns["days"][number];

type Why = Extract<Advice, { word: "wait" }>["why"];

const noRun: Record<Why, string> = {
  "stays frozen": "No run in sight: it stays frozen",
  "stays warm": "No run in sight: no night freezes",
  "no thaw after frost": "No run in sight: no frost is followed by a thaw",
};
const notYet: Record<Why, string> = { ...noRun, "stays frozen": "Too early: it stays frozen" };

/** Advice with its reason, for a yard that isn't tapped yet; for one that is, when the sap runs next. */
export function whenToTapWords({ advice, outlook }: Told, isTapped: boolean): string {
  if (advice.word === "unknown") return noDaysWords(outlook);
  if (advice.word === "wait") {
    const why = isTapped ? noRun[advice.why] : notYet[advice.why];
    return `${why} in the ${daysWords(advice.ofDays)} that the forecast tells.`;
  }
  const day = formatDayKey(advice.byDayKey, 9);
  const runs = `${runWords(advice.runDays)} in the ${daysWords(advice.ofDays)} that the forecast tells`;
  if (isTapped) return `Next run ${day}: ${runs}.`;
  return advice.word === "tap"
    ? `Time to tap, before ${day}: ${runs}.`
    : `It may wait: ${runs}, first ${day}, and a hole runs dry in 4 to 6 weeks.`;
}

function runWords(count: number): string {
  return count === 1 ? "one day of frost and thaw" : `${count} days of frost and thaw`;
}

function daysWords(count: number): string {
  return count === 1 ? "day" : `${count} days`;
}

/** "1.9 L, likely 0.6 to 4.2 L"; why there is no figure where the forecast doesn't reach the evening. */
export function perTapWords({ perTapL }: Pick<Day, "perTapL">, units: Units): string {
  if (perTapL === null) return "the forecast ends in it";
  const [low] = formatVolume(perTapL.lowL, units).split(" ");
  return `${formatVolume(perTapL.middleL, units)}, likely ${low} to ${formatVolume(perTapL.highL, units)}`;
}

/** What the litres are made of. */
export function litresReason({ taughtTrees }: Pick<ComingRuns, "taughtTrees">): string {
  const rule =
    "A day is marked when the night before has 0 °C (32 °F) or less and the day 1.7 °C (35 °F) or more (Michigan State University Extension).";
  const litres =
    taughtTrees === 0
      ? "The litres are of a tree nobody knows yet, tried many times over under the forecast with the errors forecasts make: expect the order, not the figure."
      : `The litres are told by what ${taughtTrees === 1 ? "1 bucket has" : `${taughtTrees} buckets have`} taught of this yard’s trees, under the forecast with the errors forecasts make.`;
  return `${rule} ${litres}`;
}
