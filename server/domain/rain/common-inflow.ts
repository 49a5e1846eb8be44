// What runs into all buckets alike, however strong their trees: rain and snow, told apart from sap.
//
// Source: H. Theil (1950) and P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau", J. Am. Stat.
// Assoc. 63 (1968), for the slope; that sap goes by the tree's strength and rain does not is our own use of it.
import { mean, median } from "../middle.ts";

/** One bucket over a while: what came in, and how much its tree gives beside the yard's mean (1). */
export type Catcher = { inflowGPerH: number; strength: number };

export type CommonInflow = {
  commonGPerH: number;
  /** What a tree of the yard's mean strength gives. */
  sapGPerH: number;
  /** Standard error of it, from how far the buckets lie off the line. */
  sdGPerH: number;
};

const fewest = 6;
const leastApart = 0.05;
const fewestPairs = 6;
/** Pairs grow with the square: a large yard is told by some of its buckets. */
const most = 40;
const sdOfMad = 1.4826; // of a Gaussian
const medianBesideMean = 1.2533; // standard error of the median, of a Gaussian: sqrt(pi / 2)

/** Undefined with fewer than six buckets, or with trees all alike. */
export function commonInflowOf(all: readonly Catcher[]): CommonInflow | undefined {
  const catchers = some(all);
  if (catchers.length < fewest) return undefined;
  const slopes = slopesOf(catchers);
  if (slopes.length < fewestPairs) return undefined;
  const slope = Math.max(0, median(slopes));
  const rests = catchers.map(({ inflowGPerH, strength }) => inflowGPerH - slope * strength);
  const commonGPerH = median(rests);
  const mad = median(rests.map((rest) => Math.abs(rest - commonGPerH)));
  const scatterGPerH = (sdOfMad * medianBesideMean * mad) / Math.sqrt(catchers.length);
  const sdGPerH = scatterGPerH * footBesideMean(catchers.map(({ strength }) => strength));
  return { commonGPerH, sapGPerH: slope, sdGPerH };
}

/** How much less sure the foot of a line is than its middle. */
function footBesideMean(strengths: readonly number[]): number {
  const middle = mean(strengths);
  const variance = mean(strengths.map((one) => (one - middle) ** 2));
  return Math.sqrt(1 + middle ** 2 / variance);
}

function some(all: readonly Catcher[]): readonly Catcher[] {
  if (all.length <= most) return all;
  const ordered = all.toSorted((one, other) => one.strength - other.strength);
  return Array.from({ length: most }, (_, index) => {
    const place = Math.round((index * (ordered.length - 1)) / (most - 1));
    return ordered[place] as Catcher;
  });
}

function slopesOf(catchers: readonly Catcher[]): number[] {
  return catchers.flatMap((one, place) =>
    catchers.slice(place + 1).flatMap((other) => {
      const apart = other.strength - one.strength;
      return Math.abs(apart) > leastApart ? [(other.inflowGPerH - one.inflowGPerH) / apart] : [];
    }),
  );
}
