// How strong each tree is against the yard, fair to trees that were not heard every day.
//
// log(litres a tap + 0.05) = day + tree + rest, days free, trees drawn towards the average by how little is known
// of them (best linear unbiased prediction, C. R. Henderson 1975; from memory). The two scatters are our own priors.
import { meanIfNotNegative } from "./flow/truncated.ts";

/** What one tree gave on one day. */
export type TreeDay = {
  treeId: string;
  day: string;
  perTapL: number;
  /** The bucket ran over: it was more. */
  lowerBound: boolean;
};

/** Times the yard's average, and the interval that holds 90 %. */
export type Strength = { strength: number; low: number; high: number };

const offsetL = 0.05;
const leastRunL = 0.1;
const treeSd = 0.42;
const restSd = 0.5;
const sweeps = 20;
const ninetyPercent = 1.645;

/** Strength of each tree that was heard on a day when sap ran; empty for fewer than two such trees. */
export function strengthsOf(treeDays: readonly TreeDay[]): Map<string, Strength> {
  const running = runDaysOf(treeDays);
  const counts = new Map<string, number>();
  for (const { treeId } of running) {
    counts.set(treeId, (counts.get(treeId) ?? 0) + 1);
  }
  if (counts.size < 2) {
    return new Map();
  }
  const effects = treeEffectsOf(running);
  return new Map(
    [...counts].map(([treeId, count]) => {
      const effect = effects.get(treeId) ?? 0;
      const sd = 1 / Math.sqrt(count / restSd ** 2 + 1 / treeSd ** 2);
      return [
        treeId,
        {
          strength: Math.exp(effect),
          low: Math.exp(effect - ninetyPercent * sd),
          high: Math.exp(effect + ninetyPercent * sd),
        },
      ];
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

/** Gauss-Seidel: days from trees, trees from days, until they agree. */
function treeEffectsOf(treeDays: readonly TreeDay[]): Map<string, number> {
  let trees = new Map<string, number>();
  let days = new Map<string, number>();
  for (let sweep = 0; sweep < sweeps; sweep += 1) {
    const level = (cell: TreeDay) => levelOf(cell, { days, trees });
    const treesNow = trees;
    const daysNow = meansOf(treeDays, ({ day }) => day, {
      value: (cell) => level(cell) - (treesNow.get(cell.treeId) ?? 0),
      drawnBy: 0,
    });
    trees = meansOf(treeDays, ({ treeId }) => treeId, {
      value: (cell) => level(cell) - (daysNow.get(cell.day) ?? 0),
      drawnBy: (restSd / treeSd) ** 2,
    });
    days = daysNow;
  }
  return trees;
}

/** The logarithm of a day's yield; for a bucket that ran over, what it may be expected to have been. */
function levelOf(
  { day, lowerBound, perTapL, treeId }: TreeDay,
  known: { days: Map<string, number>; trees: Map<string, number> },
): number {
  const level = Math.log(Math.max(0, perTapL) + offsetL);
  const ofDay = known.days.get(day);
  if (!lowerBound || ofDay === undefined) {
    return level;
  }
  return level + meanIfNotNegative(ofDay + (known.trees.get(treeId) ?? 0) - level, restSd);
}

function meansOf(
  treeDays: readonly TreeDay[],
  keyOf: (cell: TreeDay) => string,
  { value, drawnBy }: { value: (cell: TreeDay) => number; drawnBy: number },
): Map<string, number> {
  const sums = new Map<string, { sum: number; count: number }>();
  for (const cell of treeDays) {
    const key = keyOf(cell);
    const { sum, count } = sums.get(key) ?? { sum: 0, count: 0 };
    sums.set(key, { sum: sum + value(cell), count: count + 1 });
  }
  return new Map([...sums].map(([key, { sum, count }]) => [key, sum / (count + drawnBy)]));
}
