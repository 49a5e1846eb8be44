// What each rule costs a day, and how much cheaper the product is with its interval over seasons.
import type { Outcome } from "./outcomes.ts";
import type { SeasonOutcomes } from "./warnings.ts";

/** A trip costs this share of what a bucket that brims over does. */
export const tripCost = 0.2;

export type RuleFigures = {
  rule: string;
  overflows: number;
  useful: number;
  nightUseful: number;
  nights: number;
  falsePerDay: number;
  medianLeadH: number;
  cost: number;
};

export function ruleFigures(rule: string, outcomes: readonly Outcome[]): RuleFigures {
  const over = outcomes.filter(({ isOver }) => isOver);
  const nights = over.filter(({ isNight }) => isNight);
  const leads = outcomes.flatMap(({ leadH }) => (leadH === null ? [] : [leadH]));
  leads.sort((a, b) => a - b);
  return {
    rule,
    overflows: over.length,
    useful: shareOf(over, ({ isUseful }) => isUseful),
    nightUseful: nights.filter(({ isUseful }) => isUseful).length,
    nights: nights.length,
    falsePerDay: shareOf(outcomes, ({ isFalse }) => isFalse),
    medianLeadH: leads[leads.length >> 1] ?? Number.NaN,
    cost: costOf(outcomes),
  };
}

/** Of a tree-day: a trip for each warning, and all that is lost when none came in time. */
export function costOf(outcomes: readonly Outcome[]): number {
  const sum = outcomes.reduce(
    (total, { isWarned, isOver, isUseful }) =>
      total + (isWarned ? tripCost : 0) + (isOver && !isUseful ? 1 : 0),
    0,
  );
  return sum / outcomes.length;
}

export type Difference = { mean: number; low: number; high: number };

/** Cost of one rule less that of another, season by season; the interval of Student's t holds 90 %. */
export function costDifference(
  seasons: readonly SeasonOutcomes[],
  rule: string,
  baseline: string,
): Difference {
  const differences = seasons.map(
    (season) => costOf(season.get(rule) ?? []) - costOf(season.get(baseline) ?? []),
  );
  const n = differences.length;
  const mean = differences.reduce((sum, one) => sum + one, 0) / n;
  const variance = differences.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (n - 1);
  const half = (studentT95[n - 1] ?? 1.645) * Math.sqrt(variance / n);
  return { mean, low: mean - half, high: mean + half };
}

/** 95 % points of Student's t by degrees of freedom (any statistics table). */
const studentT95 = [Number.NaN, 6.314, 2.92, 2.353, 2.132, 2.015, 1.943, 1.895, 1.86, 1.833];

function shareOf<T>(all: readonly T[], holds: (one: T) => boolean): number {
  return all.length === 0 ? Number.NaN : all.filter(holds).length / all.length;
}
