// How well the warnings did, in plain words; where there is too little to go by, the words say so.
import type { WarningRecord } from "../wire/record.ts";

/** Below these counts a share says nothing. */
const enough = { warnings: 10, forecasts: 200, wentOver: 10, inflows: 50, fills: 10 };

/** "12 of 14 (86 %)". */
export function shareWords(part: number, whole: number): string {
  return `${part} of ${whole} (${Math.round((100 * part) / whole)} %)`;
}

export function tooFewWords(count: number, what: string): string {
  return `too few to tell (${count} ${what})`;
}

/** What the counts of warnings come to, in one sentence. */
export function warningsWords({ useful, late, false: wrong }: WarningRecord["warnings"]): string {
  const judged = useful + late + wrong;
  if (judged === 0) return "No warning was raised and judged yet.";
  if (judged < enough.warnings) {
    return `Of ${judged} judged ${judged === 1 ? "warning" : "warnings"} so far ${useful} ${useful === 1 ? "was" : "were"} useful: too few to tell how good they are.`;
  }
  return `${shareWords(useful, judged)} of the warnings were useful, ${shareWords(wrong, judged)} false.`;
}

/** Why some are false, and how many were to be, by the chances told and the chance a walk is worth. */
export function expectedWords(
  { useful, late, false: wrong, expected }: WarningRecord["warnings"],
  warnProbability: number,
): string {
  const judged = useful + late + wrong;
  if (judged === 0) return "";
  const threshold = Math.round(100 * warnProbability);
  return `A walk counts as worth it from a chance of ${threshold} %, so some are to be for nothing: by the chances told about ${Math.round(expected)} of these ${judged} were to run over, ${useful + late} would have.`;
}

/** Undefined when all could be told in time. */
export function afterwardsWords(warnings: WarningRecord["warnings"]): string | undefined {
  const { afterwards, useful, late, false: wrong } = warnings;
  if (afterwards === 0) return undefined;
  const isAll = afterwards === useful + late + wrong;
  const which = isAll
    ? "These were"
    : `${afterwards} of these ${afterwards === 1 ? "was" : "were"}`;
  return `${which} worked out afterwards, from readings that came late, when nobody could have been told.`;
}

export function missedWords({ overflows, missed }: WarningRecord["warnings"]): string {
  if (overflows === 0) return "No bucket came to its rim.";
  const times = overflows === 1 ? "Once a bucket" : `${overflows} times a bucket`;
  const unwarned = missed === 0 ? "never" : `${missed === 1 ? "once" : `${missed} times`}`;
  return `${times} came to its rim; ${unwarned} without a useful warning before.`;
}

/** Undefined when the chances told can be held against what came. */
export function fewForecastsWords(told: WarningRecord["reliability"][number]): string | undefined {
  if (told.count < enough.forecasts) return tooFewWords(told.count, "forecasts are a day old");
  if (told.wentOver < enough.wentOver) {
    return tooFewWords(told.wentOver, `of ${told.count} forecasts saw sap fill the room there was`);
  }
  return undefined;
}

export function inflowWords({ count, within, expectedShare }: WarningRecord["inflow"]): string {
  if (count < enough.inflows) return tooFewWords(count, "forecasts of more than a little sap");
  return `${shareWords(within, count)} held what came; ${Math.round(100 * expectedShare)} % should`;
}

export function fillsWords({ count, within, medianErrorShare }: WarningRecord["fills"]): string {
  if (count < enough.fills || medianErrorShare === null) return tooFewWords(count, "gatherings");
  const error = (100 * medianErrorShare).toFixed(1);
  return `${shareWords(within, count)} lay within its bounds; half of them within ${error} % of it`;
}
