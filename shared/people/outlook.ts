// What a person is told of a weather forecast that the warnings, and the days ahead, go without.
import type { OutlookState } from "../wire/outlook.ts";

const instead = "the warnings expect days like the last ten";

type Unused = Exclude<OutlookState, "used">;

const faults: Record<Exclude<Unused, "none">, string> = {
  ended: "The weather forecast has ended or ends within a day",
  gaps: "The weather forecast has holes of hours",
  impossible: "The weather forecast names air that can't be",
  "one-value": "The weather forecast says the same for a whole day",
  elsewhere: "The weather forecast is far from the air measured now",
};

/** Undefined when there is nothing to say: it is used, or nothing was judged yet. */
export function outlookWords(states: readonly (OutlookState | null)[]): string | undefined {
  const state = states.find((one) => one !== null && one !== "used");
  if (state === undefined || state === null) return undefined;
  if (state === "none") return `No weather forecast comes in: ${instead}.`;
  return `${faults[state]}, so it is not used: ${instead}.`;
}

/** Why nothing is said of the days ahead. */
export function noDaysWords(outlook: OutlookState): string {
  if (outlook === "used" || outlook === "none") {
    return "No weather forecast comes in, so nothing can be said of the days ahead.";
  }
  return `${faults[outlook]}, so nothing is said of the days ahead.`;
}
