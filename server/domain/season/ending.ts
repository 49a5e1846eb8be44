// When hints of the season's end become an alarm, and when it is kept.
import type { Judgement } from "../alarms/episode.ts";
import type { SeasonHints } from "./hints.ts";

/** The subject of kind ending, and no bucket's id. */
export const seasonSubject = "yard/season";

const raise = { probability: 0.5, hints: 2 };
const holdProbability = 0.35;

/** One hint alone never raises it: degree days, least of all, are no verdict. */
export function judgeEnding({ hints, probability }: SeasonHints): Judgement[] {
  const [first] = hints;
  if (first === undefined || probability < holdProbability) return [];
  const raised = probability >= raise.probability && hints.length >= raise.hints;
  const text = `The season may be ending. ${first.text}`;
  return [
    {
      standing: raised ? "raise" : "hold",
      condition: { kind: "ending", subject: seasonSubject, severity: "advice", text },
    },
  ];
}
