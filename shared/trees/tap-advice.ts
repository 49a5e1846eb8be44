// How many taps a tree should carry this season, by the guideline chosen and by how the tree is.
import { diameterCmFromGirth } from "./girth.ts";
import { type TapGuideline, tapsUnderGuideline } from "./guidelines.ts";

export const treeHealths = ["sound", "slow", "hurt"] as const;
export type TreeHealth = (typeof treeHealths)[number];

export type TapAdvice = {
  taps: number;
  diameterCm: number;
  /** What holds taps back, beside the guideline: rest slow healers (M. Farrell; Pitcoff). */
  heldBackBy: "slow" | "hurt" | null;
};

/** Undefined while nobody has measured the tree. Throws RangeError for a girth outside 5-1500 cm. */
export function tapAdvice(tree: {
  girthCm: number | null;
  health: TreeHealth;
  guideline: TapGuideline;
}): TapAdvice | undefined {
  if (tree.girthCm === null) return undefined;
  const diameterCm = diameterCmFromGirth(tree.girthCm);
  if (tree.health !== "sound") return { taps: 0, diameterCm, heldBackBy: tree.health };
  return { taps: tapsUnderGuideline(diameterCm, tree.guideline), diameterCm, heldBackBy: null };
}
