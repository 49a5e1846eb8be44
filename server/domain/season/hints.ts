// What speaks for the season's end: hints, each with its reason and how sure it is. Never a verdict.
import { msPerDay } from "../../../shared/units.ts";
import { median } from "../middle.ts";

export type SeasonDay = {
  /** "2026-03-14", oldest first. */
  day: string;
  /** Mean of the buckets that were heard; null for none. */
  litresPerBucket: number | null;
  /** Lowest and highest air of the day; null when none was heard. */
  lowC: number | null;
  highC: number | null;
};

/** Sugar of a tree as somebody measured it. */
export type MeasuredSugar = { treeId: string; atMs: number; brix: number };

export type SeasonInput = {
  days: readonly SeasonDay[];
  /** Hours that the outlook reaches, and its lowest temperature; null without one. */
  outlook: { hours: number; lowC: number } | null;
  /** Oldest first. */
  sugars?: readonly MeasuredSugar[];
};

export type SeasonHint = {
  kind: "vigour" | "buds" | "no-frost" | "warmth" | "sugar";
  sure: "weak" | "fair" | "strong";
  text: string;
};

export type SeasonHints = {
  hints: SeasonHint[];
  /** That sap worth boiling ends within a week, by weights of our own: advice. */
  probability: number;
  /** Days with a frost before a thaw that were heard; a few are needed before anything can be said. */
  frostThawDays: number;
};

/** Frost and thaw that make sap run, Cel (common practice, no source). */
const frostC = -1;
const thawC = 2;
/** The first so many frost-and-thaw days are what the later ones are held against. */
const firstDays = 10;
const leastLater = 3;
/** Cumulative sum of fallen yields in standard deviations: slack a day, and when it speaks (design's own). */
const cusum = { slack: 0.25, speaks: 3, strong: 5, logSd: 0.7 };
const leastL = 0.05;
/** Degree days over 10 C at which buds are looked after; flowering is told at 30-55 (tertiary source). */
const budBaseC = 10;
const budsFrom = { amber: 15, red: 30 };
const outlookLeastHours = 96;
const warmC = 8;
const warmDays = 3;
/** Sugar falls towards the end (A. Garcia and others 2020); slope, level and counts are the design's own. */
const thin = { brixPerDay: -0.02, brix: 1.3, pairs: 4, apartDays: 3, newest: 3 };

type Weighed = { hint: SeasonHint; logOdds: number };

const startLogOdds = -3;

export function seasonHints({ days, outlook, sugars = [] }: SeasonInput): SeasonHints {
  const runs = frostThawRuns(days);
  const weighed = [
    vigourHint(runs),
    budsHint(days),
    noFrostHint(days, outlook),
    warmthHint(days),
    sugarHint(sugars),
  ].filter((one) => one !== null);
  const logOdds = weighed.reduce((sum, one) => sum + one.logOdds, startLogOdds);
  return {
    hints: weighed.map(({ hint }) => hint),
    probability: 1 / (1 + Math.exp(-logOdds)),
    frostThawDays: runs.length,
  };
}

/** Litres of the days with a thaw after a frost in that day or the one before. */
function frostThawRuns(days: readonly SeasonDay[]): number[] {
  return days.flatMap(({ litresPerBucket, lowC, highC }, index) => {
    const beforeC = days[index - 1]?.lowC ?? null;
    const isFrost = Math.min(lowC ?? frostC, beforeC ?? frostC) < frostC;
    const isThaw = highC !== null && highC > thawC;
    return isFrost && isThaw && litresPerBucket !== null ? [litresPerBucket] : [];
  });
}

function vigourHint(runs: readonly number[]): Weighed | null {
  const later = runs.slice(firstDays);
  if (later.length < leastLater) return null;
  const usualL = median(runs.slice(0, firstDays));
  const fallen = later.reduce((sum, litres) => {
    const logShare = Math.log((litres + leastL) / (usualL + leastL));
    return Math.max(0, sum - logShare / cusum.logSd - cusum.slack);
  }, 0);
  if (fallen <= cusum.speaks) return null;
  const share = median(later.slice(-leastLater)) / Math.max(leastL, usualL);
  const percent = Math.round(100 * share);
  return {
    hint: {
      kind: "vigour",
      sure: fallen > cusum.strong ? "strong" : "fair",
      text: `The last ${leastLater} days of frost and thaw gave about ${percent} % of what such days gave at first`,
    },
    logOdds: 1.2 * Math.min(2, fallen / cusum.speaks),
  };
}

/** Alone it never makes the end likelier than not. */
function budsHint(days: readonly SeasonDay[]): Weighed | null {
  const degreeDays = days.reduce((sum, { lowC, highC }) => {
    return lowC === null || highC === null ? sum : sum + Math.max(0, (lowC + highC) / 2 - budBaseC);
  }, 0);
  if (degreeDays < budsFrom.amber) return null;
  const near = degreeDays >= budsFrom.red ? "buds may be opening" : "buds may be swelling";
  return {
    hint: {
      kind: "buds",
      sure: "weak",
      text: `${Math.round(degreeDays)} degree days over 10 °C since the first reading: ${near}; look at them`,
    },
    logOdds: 0.08 * Math.min(budsFrom.red, degreeDays),
  };
}

function noFrostHint(days: readonly SeasonDay[], outlook: SeasonInput["outlook"]): Weighed | null {
  const newest = days.slice(-warmDays);
  const hadFrost = newest.some(({ lowC }) => lowC === null || lowC < frostC);
  if (newest.length < warmDays || hadFrost) return null;
  if (outlook === null || outlook.hours < outlookLeastHours) {
    const text = `No frost in the last ${warmDays} days, and no forecast of the days ahead`;
    return { hint: { kind: "no-frost", sure: "weak", text }, logOdds: 0.5 };
  }
  if (outlook.lowC < frostC) return null;
  const ahead = Math.floor(outlook.hours / 24);
  const text = `No frost in the last ${warmDays} days nor in the ${ahead} days of the forecast: trees fill up only after a frost`;
  return { hint: { kind: "no-frost", sure: "fair", text }, logOdds: 1.5 };
}

function warmthHint(days: readonly SeasonDay[]): Weighed | null {
  const means = days
    .slice(-warmDays)
    .flatMap(({ lowC, highC }) => (lowC === null || highC === null ? [] : [(lowC + highC) / 2]));
  if (means.length < warmDays || median(means) <= warmC) return null;
  const text = `The last ${warmDays} days were around ${Math.round(median(means))} °C: sap spoils within a day or two`;
  return { hint: { kind: "warmth", sure: "fair", text }, logOdds: 1 };
}

/** The median fall of a tree's sugar between any two of its measurements, and where it has come to. */
function sugarHint(sugars: readonly MeasuredSugar[]): Weighed | null {
  const slopes = sugars.flatMap((later, index) =>
    sugars.slice(0, index).flatMap((earlier) => {
      const apartDays = (later.atMs - earlier.atMs) / msPerDay;
      if (earlier.treeId !== later.treeId || apartDays < thin.apartDays) return [];
      return [(later.brix - earlier.brix) / apartDays];
    }),
  );
  const newestBrix = median(sugars.slice(-thin.newest).map(({ brix }) => brix));
  const isFalling = slopes.length >= thin.pairs && median(slopes) < thin.brixPerDay;
  if (!isFalling || newestBrix >= thin.brix) return null;
  const text = `The sugar has fallen to ${newestBrix.toFixed(1)} °Bx: much to boil for little syrup`;
  return { hint: { kind: "sugar", sure: "fair", text }, logOdds: 1.5 };
}
