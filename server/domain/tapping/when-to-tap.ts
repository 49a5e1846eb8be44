// When to tap, and why, from the days ahead: advice, never a verdict.
import type { TapWord } from "../../../shared/wire/tapping.ts";
import { type ComingDay, freezeC, thawC } from "./coming-days.ts";

/** So many freeze-thaw days make a hole's few weeks worth beginning (common practice, no source). */
const worthRuns = 3;
const daysLookedAt = 10;

/** Looks at the first ten days that are known. */
export function whenToTap(days: readonly ComingDay[]): TapWord {
  const known = days.filter(({ runs }) => runs !== null).slice(0, daysLookedAt);
  if (known.length === 0) return { word: "unknown" };
  const running = known.filter(({ runs }) => runs === true);
  const first = running[0];
  const ofDays = known.length;
  if (first === undefined) return { word: "wait", why: whyNot(known), ofDays };
  const word = running.length >= worthRuns ? "tap" : "may-wait";
  return { word, byDayKey: first.dayKey, runDays: running.length, ofDays };
}

function whyNot(days: readonly ComingDay[]): Extract<TapWord, { word: "wait" }>["why"] {
  const freezes = days.some(({ lowC }) => lowC !== null && lowC <= freezeC);
  const thaws = days.some(({ highC }) => highC !== null && highC >= thawC);
  if (freezes && !thaws) return "stays frozen";
  return freezes ? "no thaw after frost" : "stays warm";
}
