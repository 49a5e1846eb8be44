// The ranking of trees and how sure it is, in words.
import { expect, it } from "vitest";
import {
  bestWords,
  type RankedTree,
  rankedTrees,
  strengthWords,
  sugarWords,
} from "../../../web/parts/rank-table.tsx";

function tree(parts: Partial<RankedTree>): RankedTree {
  return {
    treeId: "gate",
    label: "Gate",
    bucketIds: ["gate"],
    taps: 1,
    volumeL: 10,
    lowerBound: false,
    perTapL: 10,
    share: 0.5,
    onsetMs: null,
    strength: 1.3,
    strengthLow: 1.1,
    strengthHigh: 1.6,
    bestProbability: 0.6,
    weakReason: null,
    sugarBrix: null,
    days: [],
    ...parts,
  };
}

it("the best tree by litres a tap comes first, one without a figure last", () => {
  const trees = [
    tree({ label: "none", perTapL: null }),
    tree({ label: "small", perTapL: 2 }),
    tree({ label: "big", perTapL: 9 }),
  ];
  expect(rankedTrees(trees).map(({ label }) => label)).toEqual(["big", "small", "none"]);
});

it("strength is said with its interval, and not at all when it is too early", () => {
  expect(strengthWords(tree({}))).toBe("1.30, likely 1.10 to 1.60");
  expect(strengthWords(tree({ strengthLow: null }))).toBe("1.30");
  expect(strengthWords(tree({ strength: null }))).toBe("too early to say");
});

it("the chance of being the strongest is a share, and hardly any is said so", () => {
  expect(bestWords(tree({ bestProbability: 0.62 }))).toBe("62 %");
  expect(bestWords(tree({ bestProbability: 0.004 }))).toBe("hardly");
  expect(bestWords(tree({ bestProbability: null }))).toBe("–");
});

it("sugar is told with the syrup that the sap comes to, and a dash where none was measured", () => {
  expect(sugarWords(tree({}), "metric")).toBe("–");
  expect(sugarWords(tree({ sugarBrix: 2, volumeL: 43.4 }), "metric")).toBe(
    "2.0 °Bx, 1.0 L of syrup",
  );
  expect(sugarWords(tree({ sugarBrix: 2.35, volumeL: 0 }), "us")).toBe("2.4 °Bx");
});
