// The one sentence on top: what to do now in the yard, and by when.
import type { DoNowPart, Units } from "../wire/api.ts";
import { formatDeadline, formatList, formatVolume } from "./format.ts";

export type SentenceContext = {
  units: Units;
  timeZone: string;
  nowMs: number;
  labelOf: (bucketId: string) => string;
  /** Ids of vessels are shown where no labels are known. */
  vesselLabelOf?: (vesselId: string) => string;
};

const mostNames = 4;
/** What comes after is less urgent and stands in the list below the sentence. */
const mostClauses = 3;

/** One sentence from the parts in their order, most urgent first; it says no more than they know. */
export function doNowSentence(parts: readonly DoNowPart[], context: SentenceContext): string {
  const clauses = parts.slice(0, mostClauses).map((part) => clauseOf(part, context));
  const text = clauses.length === 0 ? "nothing to do that the cells know of" : clauses.join("; ");
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

function clauseOf(part: DoNowPart, context: SentenceContext): string {
  const names = namesOf(part, context);
  switch (part.verb) {
    case "gather":
      return `gather ${names}${deadline(part, context, "before")}${litres(part, context)}`;
    case "boil":
      return `boil what stands in ${names}${deadline(part, context, "by")}${vesselLitres(part, context)}`;
    case "look":
      return `look at ${names}: ${part.reason}`;
    case "set-up":
      return `set up what is newly heard: ${part.reason}`;
    case "wait":
      return waitClause(part, context);
  }
}

function waitClause(part: DoNowPart, context: SentenceContext): string {
  const until = part.byMs === null ? "" : ` until ${formatDeadline(part.byMs, context)}`;
  return `nothing to do${until}: ${part.reason}`;
}

function deadline(part: DoNowPart, context: SentenceContext, word: string): string {
  if (part.byMs === null) {
    return "";
  }
  return part.byMs <= context.nowMs ? " now" : ` ${word} ${formatDeadline(part.byMs, context)}`;
}

/** How much waits in vessels; what hangs in buckets still grows. */
function vesselLitres(part: DoNowPart, context: SentenceContext): string {
  return part.vesselIds === undefined ? "" : litres(part, context);
}

function litres(part: DoNowPart, { units }: SentenceContext): string {
  return part.volumeL === null ? "" : ` (about ${formatVolume(part.volumeL, units)})`;
}

function namesOf({ bucketIds, vesselIds = [] }: DoNowPart, context: SentenceContext): string {
  const { labelOf, vesselLabelOf = (id: string) => id } = context;
  const names = [...bucketIds.map(labelOf), ...vesselIds.map(vesselLabelOf)];
  if (names.length <= mostNames) {
    return formatList(names);
  }
  const shown = names.slice(0, mostNames - 1);
  return formatList([...shown, `${names.length - shown.length} more`]);
}
