// The mixed model behind the strength of trees: level = day + tree + rest, days free, trees and rest random.
import { inverseOf } from "./symmetric.ts";

export type Cell = {
  /** Index of the tree and of the day, from 0, none left out. */
  tree: number;
  day: number;
  /** Logarithm of the yield; of one that is only known to be at least so much, that bound. */
  level: number;
  isBound: boolean;
};

export type TreeModel = {
  /** Each tree against the mean of the yard; they sum up to nothing. */
  effects: number[];
  /** Their variance against that mean. */
  variances: number[];
  days: number[];
  treeVariance: number;
  restVariance: number;
};

export type ModelPrior = {
  treeSd: number;
  restSd: number;
  /** How many trees, and how many readings, the prior is worth; 0 lets the data alone speak. */
  weight: number;
};

const mostSteps = 200;
/** A step costs the cube of the trees: a big yard is content with the prior. */
const mostTreesForSteps = 100;
const tolerance = 1e-9;

/**
 * Best linear unbiased prediction (C. R. Henderson 1975) with variances by restricted maximum likelihood, one
 * expectation-maximisation step after the other (both from memory; checked against statsmodels). Bounds are taken
 * for what they may be expected to stand for, given the rest.
 */
export function fitTrees(
  cells: readonly Cell[],
  prior: ModelPrior,
  meanAbove: (mean: number, sd: number, bound: number) => number,
): TreeModel {
  const shape = shapeOf(cells);
  let model = startModel(shape, prior);
  const steps = shape.trees > mostTreesForSteps ? 3 : mostSteps;
  for (let step = 0; step < steps; step += 1) {
    const levels = cells.map((cell) => levelOf(cell, model, step > 0 ? meanAbove : undefined));
    const next = stepModel(model, { cells, levels, shape, prior });
    const moved = Math.max(
      ...next.effects.map((effect, tree) => Math.abs(effect - (model.effects[tree] ?? 0))),
      Math.abs(next.treeVariance - model.treeVariance),
      Math.abs(next.restVariance - model.restVariance),
    );
    model = next;
    if (step > 1 && moved < tolerance) break;
  }
  return model;
}

type Shape = { trees: number; days: number; heard: Float64Array[]; ofDay: Float64Array };

function shapeOf(cells: readonly Cell[]): Shape {
  const trees = 1 + Math.max(-1, ...cells.map(({ tree }) => tree));
  const days = 1 + Math.max(-1, ...cells.map(({ day }) => day));
  const heard = Array.from({ length: trees }, () => new Float64Array(days));
  const ofDay = new Float64Array(days);
  for (const { tree, day } of cells) {
    const row = heard[tree];
    if (row !== undefined) row[day] = (row[day] ?? 0) + 1;
    ofDay[day] = (ofDay[day] ?? 0) + 1;
  }
  return { trees, days, heard, ofDay };
}

function startModel({ trees, days }: Shape, { treeSd, restSd }: ModelPrior): TreeModel {
  return {
    effects: new Array<number>(trees).fill(0),
    variances: new Array<number>(trees).fill(treeSd ** 2),
    days: new Array<number>(days).fill(0),
    treeVariance: treeSd ** 2,
    restVariance: restSd ** 2,
  };
}

function levelOf(
  { tree, day, level, isBound }: Cell,
  model: TreeModel,
  meanAbove: ((mean: number, sd: number, bound: number) => number) | undefined,
): number {
  if (!isBound || meanAbove === undefined) return level;
  const mean = (model.days[day] ?? 0) + (model.effects[tree] ?? 0);
  return meanAbove(mean, Math.sqrt(model.restVariance), level);
}

type Known = { cells: readonly Cell[]; levels: readonly number[]; shape: Shape; prior: ModelPrior };

/** One step: trees and days for the present variances, then the variances for those. */
function stepModel(model: TreeModel, { cells, levels, shape, prior }: Known): TreeModel {
  const { trees, ofDay } = shape;
  const dayMeans = meansByDay(cells, levels, ofDay);
  const right = new Float64Array(trees);
  cells.forEach(({ tree, day }, index) => {
    right[tree] = (right[tree] ?? 0) + (levels[index] ?? 0) - (dayMeans[day] ?? 0);
  });
  const ratio = model.restVariance / model.treeVariance;
  const inverse = inverseOf(equations(shape, ratio));
  const effects = inverse.map((row) =>
    row.reduce((sum, value, j) => sum + value * (right[j] ?? 0), 0),
  );
  const days = daysBeside(cells, { levels, effects, ofDay });
  const trace = inverse.reduce((sum, row, index) => sum + (row[index] ?? 0), 0);
  const leftOver = cells.reduce((sum, { tree, day }, index) => {
    const level = levels[index] ?? 0;
    const rest = level - (days[day] ?? 0) - (effects[tree] ?? 0);
    return sum + (level - (dayMeans[day] ?? 0)) * rest;
  }, 0);
  const squares = effects.reduce((sum, effect) => sum + effect ** 2, 0);
  const { weight, treeSd, restSd } = prior;
  const restVariance =
    (leftOver + weight * restSd ** 2) / Math.max(1, cells.length - shape.days + weight);
  const treeVariance =
    (squares + model.restVariance * trace + weight * treeSd ** 2) / (trees + weight);
  // Along the yard's own mean the trees are only held by the prior: against that mean it counts for nothing.
  const ofMean = 1 / (trees * ratio);
  return {
    effects,
    variances: inverse.map((row, i) => model.restVariance * Math.max(0, (row[i] ?? 0) - ofMean)),
    days,
    treeVariance,
    restVariance,
  };
}

/** The trees' equations with the days taken out. */
function equations({ trees, heard, ofDay }: Shape, ratio: number): Float64Array[] {
  const shares = heard.map((row) => row.map((count, day) => count / (ofDay[day] ?? 1)));
  return heard.map((own, i) =>
    Float64Array.from({ length: trees }, (_, j) => {
      const counted = i === j ? ratio + own.reduce((sum, count) => sum + count, 0) : 0;
      const share = shares[j] ?? own;
      return counted - own.reduce((sum, count, day) => sum + count * (share[day] ?? 0), 0);
    }),
  );
}

function meansByDay(
  cells: readonly Cell[],
  levels: readonly number[],
  ofDay: Float64Array,
): Float64Array {
  const sums = new Float64Array(ofDay.length);
  cells.forEach(({ day }, index) => {
    sums[day] = (sums[day] ?? 0) + (levels[index] ?? 0);
  });
  return sums.map((sum, day) => sum / (ofDay[day] ?? 1));
}

function daysBeside(
  cells: readonly Cell[],
  { levels, effects, ofDay }: { levels: readonly number[]; effects: number[]; ofDay: Float64Array },
): number[] {
  const beside = cells.map(({ tree }, index) => (levels[index] ?? 0) - (effects[tree] ?? 0));
  return [...meansByDay(cells, beside, ofDay)];
}
