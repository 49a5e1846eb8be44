// What a person is told where the readings of a bucket can't fit what its record says of it.
import type { Contradiction } from "../wire/contradiction.ts";

const words: Record<Contradiction, string> = {
  "lighter-than-empty":
    "It weighs less than its empty bucket should: the empty weight or the cell set for it is wrong, so what it is said to hold is too.",
  "more-than-it-holds":
    "It weighs more than it can hold: the capacity, the empty weight or the cell set for it is wrong, or something lies on it.",
  "stops-below-its-rim":
    "Twice it stopped rising at the same level and ran on as soon as it was emptied: it seems to run over below the rim on record. Measure again what it holds, or look for a leak.",
};

export function contradictionWords(contradiction: Contradiction): string {
  return words[contradiction];
}
