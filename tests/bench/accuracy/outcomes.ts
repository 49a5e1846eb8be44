// What became of each rule's first warning on each tree-day: useful, too late, false or missed.
import { knotMs } from "./season-weather.ts";
import type { Season, SeasonOutcomes } from "./warnings.ts";
import type { Followed } from "./yard.ts";

export type Outcome = {
  /** Day of the season, from 0. */
  day: number;
  isWarned: boolean;
  /** It brimmed over between 6 h and the next setting before dawn. */
  isOver: boolean;
  /** A waking hour was left, at least one hour after the warning and before it brimmed over. */
  isUseful: boolean;
  /** Warned, and it would not have brimmed over within 24 h had nobody come. */
  isFalse: boolean;
  /** It brimmed over between 20 and 7 h. */
  isNight: boolean;
  leadH: number | null;
};

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const dawnMs = 6 * hourMs;
/** Until the next day's first setting of buckets. */
const treeDayMs = 22.5 * hourMs;
/** From here on there is something of a tree to tell by. */
const firstDay = 1;

export function createOutcomes({ trees, startMs, days }: Season) {
  const firstWarnings = new Map<string, Map<string, number>>();
  const warningsOf = (rule: string) => {
    const known = firstWarnings.get(rule) ?? new Map<string, number>();
    firstWarnings.set(rule, known);
    return known;
  };
  return {
    /** Of the warnings of one tree-day only the first counts. */
    said(
      rule: string,
      { tree, atMs, warns }: { tree: number; atMs: number; warns: boolean },
    ): void {
      const known = warningsOf(rule);
      const key = `${tree}/${Math.floor((atMs - dawnMs - startMs) / dayMs)}`;
      if (warns && !known.has(key)) known.set(key, atMs);
    },
    all(): SeasonOutcomes {
      const result: SeasonOutcomes = new Map();
      for (const [rule, warnings] of firstWarnings) {
        const outcomes: Outcome[] = [];
        trees.forEach((tree, place) => {
          for (let day = firstDay; day < days - 3; day += 1) {
            const dawn = startMs + day * dayMs + dawnMs;
            const warnedMs = warnings.get(`${place}/${day}`);
            const outcome = outcomeOf(tree, { startMs, day, dawn, warnedMs });
            if (outcome !== undefined) outcomes.push(outcome);
          }
        });
        result.set(rule, outcomes);
      }
      return result;
    },
  };
}

type Day = { startMs: number; day: number; dawn: number; warnedMs: number | undefined };

/** Undefined for a day on which nobody could have come in time. */
function outcomeOf(tree: Followed, { startMs, day, dawn, warnedMs }: Day): Outcome | undefined {
  const overMs = firstLossMs(tree, { startMs, fromMs: dawn, untilMs: dawn + treeDayMs });
  if (overMs !== undefined && overMs < dawn + hourMs) return undefined;
  const isOver = overMs !== undefined;
  const hour = isOver ? (overMs % dayMs) / hourMs : 12;
  const base = { day, isOver, isNight: isOver && (hour >= 20 || hour < 7) };
  if (warnedMs === undefined) {
    return { ...base, isWarned: false, isUseful: false, isFalse: false, leadH: null };
  }
  const isUseful = isOver && hasWakingHour(warnedMs + hourMs, overMs);
  return {
    ...base,
    isWarned: true,
    isUseful,
    isFalse: !isOver && !goesOverWithin(tree, { startMs, fromMs: warnedMs }),
    leadH: isUseful ? (overMs - warnedMs) / hourMs : null,
  };
}

type Span = { startMs: number; fromMs: number; untilMs: number };

function firstLossMs({ truth }: Followed, { startMs, fromMs, untilMs }: Span): number | undefined {
  for (let atMs = fromMs + knotMs; atMs <= untilMs; atMs += knotMs) {
    if ((truth.lostG[(atMs - startMs) / knotMs] ?? 0) > 0) return atMs;
  }
  return undefined;
}

/** A full hour from 7 to 21 between the two. */
function hasWakingHour(fromMs: number, untilMs: number): boolean {
  for (let atMs = Math.ceil(fromMs / hourMs) * hourMs; atMs <= untilMs; atMs += hourMs) {
    const hour = (atMs % dayMs) / hourMs;
    if (hour >= 7 && hour <= 21) return true;
  }
  return false;
}

/** Had nobody touched it: the sap that ran against the room that was. */
function goesOverWithin({ truth }: Followed, at: { startMs: number; fromMs: number }): boolean {
  const knot = Math.round((at.fromMs - at.startMs) / knotMs);
  const room = truth.roomG[knot] ?? 0;
  const later = truth.inflowG[Math.min(truth.inflowG.length - 1, knot + dayMs / knotMs)] ?? 0;
  return later - (truth.inflowG[knot] ?? 0) >= room;
}
