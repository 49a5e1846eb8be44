// How strong each tree is against the yard, fair to trees that were not heard every day, and which tap dries up.
//
// log(litres a tap + 0.05) = day + tree + rest (tree-model.ts). Priors for the scatters are our own.
import { normalBelow } from "./brim/normal.ts";
import { meanIfNotNegative } from "./flow/truncated.ts";
import { type Cell, fitTrees, type ModelPrior, type TreeModel } from "./tree-model.ts";

/** What one tree gave on one day. */
export type TreeDay = {
  treeId: string;
  day: string;
  perTapL: number;
  /** The bucket ran over: it was more. */
  lowerBound: boolean;
};

export type Strength = {
  /** Times the yard's average, and the interval that holds 90 %. */
  strength: number;
  low: number;
  high: number;
  /** Probability that it is the strongest of the yard. */
  bestProbability: number;
  /** Run days it was heard on. */
  days: number;
  /** How its share of the yard's run changes, per day on the log scale, and how probably it falls. */
  trendPerDay: number;
  fallingProbability: number;
};

const offsetL = 0.05;
const leastRunL = 0.1;
const usualPrior: ModelPrior = { treeSd: 0.42, restSd: 0.5, weight: 4 };
const trendSdPerDay = 0.01;
const ninetyPercent = 1.645;
const msPerDay = 86_400_000;

/** Strength of each tree that was heard on a day when sap ran; empty for fewer than two such trees. */
export function strengthsOf(
  treeDays: readonly TreeDay[],
  prior: ModelPrior = usualPrior,
): Map<string, Strength> {
  const running = runDaysOf(treeDays);
  const treeIds = [...new Set(running.map(({ treeId }) => treeId))].sort();
  const dayKeys = [...new Set(running.map(({ day }) => day))].sort();
  if (treeIds.length < 2) {
    return new Map();
  }
  const cells = running.map((one) => cellFrom(one, treeIds, dayKeys));
  const model = fitTrees(cells, prior, meanAbove);
  const best = bestProbabilities(model);
  return new Map(
    treeIds.map((treeId, tree) => {
      const effect = model.effects[tree] ?? 0;
      const sd = Math.sqrt(model.variances[tree] ?? 0);
      const own = cells.filter((cell) => cell.tree === tree);
      const strength: Strength = {
        strength: Math.exp(effect),
        low: Math.exp(effect - ninetyPercent * sd),
        high: Math.exp(effect + ninetyPercent * sd),
        bestProbability: best[tree] ?? 0,
        days: own.length,
        ...trendOf(own, model, dayKeys),
      };
      return [treeId, strength];
    }),
  );
}

/** Only days when some tree ran tell trees apart. */
function runDaysOf(treeDays: readonly TreeDay[]): TreeDay[] {
  const days = new Set(
    treeDays.filter(({ perTapL }) => perTapL >= leastRunL).map(({ day }) => day),
  );
  return treeDays.filter(({ day }) => days.has(day));
}

function cellFrom(one: TreeDay, treeIds: readonly string[], dayKeys: readonly string[]): Cell {
  return {
    tree: treeIds.indexOf(one.treeId),
    day: dayKeys.indexOf(one.day),
    level: Math.log(Math.max(0, one.perTapL) + offsetL),
    isBound: one.lowerBound,
  };
}

function meanAbove(mean: number, sd: number, bound: number): number {
  return bound + meanIfNotNegative(mean - bound, sd);
}

const halfWidthSds = 6;
const gridSteps = 240;

/** P(each is the largest) of independent normal values, by the trapezium rule. */
function bestProbabilities({ effects, variances }: TreeModel): number[] {
  const sds = variances.map((variance) => Math.max(1e-6, Math.sqrt(variance)));
  const widest = Math.max(...sds);
  const from = Math.min(...effects) - halfWidthSds * widest;
  const step = (Math.max(...effects) + halfWidthSds * widest - from) / gridSteps;
  const sums = effects.map(() => 0);
  for (let index = 0; index <= gridSteps; index += 1) {
    const at = from + index * step;
    const z = effects.map((effect, tree) => (at - effect) / (sds[tree] ?? 1));
    const below = z.map((one) => Math.max(1e-12, normalBelow(one)));
    const all = below.reduce((product, one) => product * one, 1);
    z.forEach((one, tree) => {
      const density = Math.exp(-(one ** 2) / 2) / (sds[tree] ?? 1);
      sums[tree] = (sums[tree] ?? 0) + (density * all) / (below[tree] ?? 1);
    });
  }
  const total = sums.reduce((sum, one) => sum + one, 0);
  return sums.map((sum) => sum / total);
}

/** The slope of what is left of a tree over the days, drawn towards none. */
function trendOf(own: readonly Cell[], model: TreeModel, dayKeys: readonly string[]) {
  const at = own.map(({ day }) => Date.parse(dayKeys[day] ?? "") / msPerDay);
  const mean = at.reduce((sum, day) => sum + day, 0) / at.length;
  const squares = at.reduce((sum, day) => sum + (day - mean) ** 2, 0);
  const product = own.reduce((sum, { day, level, tree }, index) => {
    const rest = level - (model.days[day] ?? 0) - (model.effects[tree] ?? 0);
    return sum + ((at[index] ?? mean) - mean) * rest;
  }, 0);
  const precision = squares / model.restVariance + 1 / trendSdPerDay ** 2;
  const trendPerDay = product / model.restVariance / precision;
  return { trendPerDay, fallingProbability: normalBelow(-trendPerDay * Math.sqrt(precision)) };
}

const surely = 0.95;
const leastDays = { weak: 5, drying: 8 };
const weakBelow = 0.7;
const dryingPerDay = -0.008;

/** Why a tap deserves a look, in plain words; null when nothing speaks for it. */
export function weakReason(one: Strength): string | null {
  const { days, high, trendPerDay, fallingProbability } = one;
  if (days >= leastDays.drying && fallingProbability > surely && trendPerDay < dryingPerDay) {
    const percent = Math.round(100 * (1 - Math.exp(7 * trendPerDay)));
    return `falls behind the yard by about ${percent} % a week: its tap may be drying, plugged or leaking`;
  }
  if (days >= leastDays.weak && high < weakBelow) {
    return "gives clearly less a tap than the yard: a weak tree, a leak or a poor hole";
  }
  return null;
}
