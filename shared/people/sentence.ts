// The one sentence on top: what to do now in the yard, and by when.
import type { DoNowPart, Units } from "../wire/api.ts";
import { formatDeadline, formatList, formatRoundVolume } from "./format.ts";

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
  const clauses = clausesOf(parts.slice(0, mostClauses), context);
  const text = clauses.length === 0 ? "nothing to do that the cells know of" : clauses.join("; ");
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

/** What is gathered now and what is gathered later is one walk's talk, so one clause. */
function clausesOf(parts: readonly DoNowPart[], context: SentenceContext): string[] {
  const gathers = parts.filter(({ verb }) => verb === "gather");
  return parts.flatMap((part) => {
    if (part.verb !== "gather") return [clauseOf(part, context)];
    if (part !== gathers[0]) return [];
    return [`gather ${formatList(gathers.map((one) => gatherWords(one, context)))}`];
  });
}

function clauseOf(part: DoNowPart, context: SentenceContext): string {
  switch (part.verb) {
    case "gather":
      return `gather ${gatherWords(part, context)}`;
    case "boil":
      return boilClause(part, context);
    case "look":
      return `look at ${namesOf(part, context)}: ${part.reason}`;
    case "set-up":
      return `set up what is newly heard: ${part.reason}`;
    case "wait":
      return waitClause(part, context);
  }
}

/** "Gate, Well and Spring (24 L) before 16:00". */
function gatherWords(part: DoNowPart, context: SentenceContext): string {
  const litres =
    part.volumeL === null ? "" : ` (${formatRoundVolume(part.volumeL, context.units)})`;
  return `${namesOf(part, context)}${litres}${deadline(part, context, "before")}`;
}

/** "boil the 42 L in Blue drum by Thursday noon". */
function boilClause(part: DoNowPart, context: SentenceContext): string {
  const what =
    part.volumeL === null ? "what stands" : `the ${formatRoundVolume(part.volumeL, context.units)}`;
  const isPast = part.byMs !== null && part.byMs <= context.nowMs;
  const smell = isPast ? ", and smell it first" : "";
  return `boil ${what} in ${namesOf(part, context)}${deadline(part, context, "by")}${smell}`;
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

function namesOf({ bucketIds, vesselIds = [] }: DoNowPart, context: SentenceContext): string {
  const { labelOf, vesselLabelOf = (id: string) => id } = context;
  const names = [...bucketIds.map(labelOf), ...vesselIds.map(vesselLabelOf)];
  if (names.length <= mostNames) {
    return formatList(names);
  }
  const shown = names.slice(0, mostNames - 1);
  return formatList([...shown, `${names.length - shown.length} more`]);
}
