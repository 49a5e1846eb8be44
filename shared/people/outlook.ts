// What a person is told of a weather forecast that the warnings go without.
import type { OutlookState } from "../wire/outlook.ts";

const instead = "the warnings expect days like the last ten";

const words: Record<Exclude<OutlookState, "used">, string> = {
  none: `No weather forecast comes in: ${instead}.`,
  ended: `The weather forecast has ended or ends within a day, so it is not used: ${instead}.`,
  gaps: `The weather forecast has holes of hours, so it is not used: ${instead}.`,
  impossible: `The weather forecast names air that can't be, so it is not used: ${instead}.`,
  "one-value": `The weather forecast says the same for a whole day, so it is not used: ${instead}.`,
  elsewhere: `The weather forecast is far from the air measured now, so it is not used: ${instead}.`,
};

/** Undefined when there is nothing to say: it is used, or nothing was judged yet. */
export function outlookWords(states: readonly (OutlookState | null)[]): string | undefined {
  const state = states.find((one) => one !== null && one !== "used");
  return state === undefined || state === null ? undefined : words[state];
}
