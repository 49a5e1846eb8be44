// The mixed model of trees against R's lme4, on an unbalanced table of eight trees and nine days.
import { describe, expect, it } from "vitest";
import { type Cell, fitTrees } from "../../server/domain/tree-model.ts";

// Made once: R 4.2.2 (Debian), lme4 1.1.31, lmer(level ~ factor(day) + (1 | tree), REML = TRUE); set.seed(3), tree
// effects rnorm(8, 0, 0.4), days rnorm(9, 0.8, 0.6), rest rnorm(72, 0, 0.35), rounded to 0.001, 13 cells dropped.
const levels = [
  [-0.543, 0.38, null, -0.595, -0.183, 0.009, -0.48, 0.346],
  [0.916, null, null, 1.074, 1.241, 1.888, 1.893, 2.262],
  [0.226, 0.113, null, 0.347, 0.445, 0.022, 0.665, 1.075],
  [-0.372, 0.599, -0.053, null, -0.593, null, 0.551, 0.408],
  [-0.329, 0.508, 0.19, 0.003, null, -0.112, 0.246, 0.454],
  [1.044, 1.156, 0.78, null, null, 1.053, 1.109, 1.809],
  [0.338, 0.628, 1.329, null, 1.035, 0.892, 1.089, 1.696],
  [0.324, 0.58, 0.981, null, 0.828, 0.282, 0.595, 1.669],
  [-0.28, null, 0.76, 0.045, 0.304, 0.317, null, 0.829],
];
const lme4 = {
  treeVariance: 0.0900221249,
  restVariance: 0.0802338259,
  effects: [
    -0.388118817, 0.093783491, 0.100376057, -0.250574379, -0.109751359, -0.087539769, 0.097403888,
    0.544420888,
  ],
};

const cells = levels.flatMap((row, day) =>
  row.flatMap((level, tree): Cell[] =>
    level === null ? [] : [{ tree, day, level, isBound: false }],
  ),
);
const dataAlone = { treeSd: 0.42, restSd: 0.5, weight: 0 };
const unused = () => Number.NaN;

describe("the mixed model of trees", () => {
  it("finds lme4's variances and effects within 0.5 %", () => {
    const model = fitTrees(cells, dataAlone, unused);
    expect(model.treeVariance / lme4.treeVariance).toBeCloseTo(1, 2);
    expect(model.restVariance / lme4.restVariance).toBeCloseTo(1, 2);
    lme4.effects.forEach((effect, tree) => {
      expect(Math.abs((model.effects[tree] ?? 0) - effect)).toBeLessThan(0.005 * 0.5);
    });
  });

  it("gives balanced trees their mean of rows, drawn in, with the variance that goes with it", () => {
    const rows = [
      [1, 2, 3],
      [0.5, 1.7, 3.3],
      [0.9, 2.5, 4.2],
    ];
    const balanced = rows.flatMap((row, tree) =>
      row.map((level, day): Cell => ({ tree, day, level, isBound: false })),
    );
    const sure = { treeSd: 0.4, restSd: 0.5, weight: 1e12 };
    const model = fitTrees(balanced, sure, unused);
    const means = rows.map((row) => row.reduce((sum, level) => sum + level, 0) / row.length);
    const grand = means.reduce((sum, mean) => sum + mean, 0) / means.length;
    const drawn = 3 / (3 + (0.5 / 0.4) ** 2);
    means.forEach((mean, tree) => {
      expect(model.effects[tree]).toBeCloseTo(drawn * (mean - grand), 6);
      expect(model.variances[tree]).toBeCloseTo(((0.25 / (3 + 1.5625)) * 2) / 3, 6);
    });
  });

  it("sums its effects up to nothing, and moves with a day that was better for all", () => {
    const model = fitTrees(cells, dataAlone, unused);
    expect(model.effects.reduce((sum, effect) => sum + effect, 0)).toBeCloseTo(0, 9);
    const better = cells.map((cell) =>
      cell.day === 4 ? { ...cell, level: cell.level + 3 } : cell,
    );
    const moved = fitTrees(better, dataAlone, unused);
    moved.effects.forEach((effect, tree) => {
      expect(effect).toBeCloseTo(model.effects[tree] ?? 0, 9);
    });
    expect((moved.days[4] ?? 0) - (model.days[4] ?? 0)).toBeCloseTo(3, 9);
  });
});
