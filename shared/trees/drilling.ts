// What to mind about a hole that is about to be drilled.
import { holeFacts } from "./hole.ts";

export type DrillingProblem = "too deep" | "wide bit" | "too steep" | "too flat" | "frozen wood";

export type Drilling = {
  depthMm: number | null;
  bitMm: number | null;
  slopeDegrees?: number | null;
  woodTempC?: number | null;
};

/** A little over a bound is the same drill. */
const roundingMm = 0.5;

/** What published advice speaks against; nothing said is nothing to mind. */
export function drillingProblems(drilling: Drilling): DrillingProblem[] {
  const { depthMm, bitMm, slopeDegrees = null, woodTempC = null } = drilling;
  const { depthMm: depth, bitMm: bit, slopeDegrees: slope, woodTempC: wood } = holeFacts;
  const checks: [boolean, DrillingProblem][] = [
    [depthMm !== null && depthMm > depth.most + roundingMm, "too deep"],
    [bitMm !== null && bitMm > bit.value + roundingMm, "wide bit"],
    [slopeDegrees !== null && slopeDegrees > slope.to, "too steep"],
    [slopeDegrees !== null && slopeDegrees < slope.from, "too flat"],
    [woodTempC !== null && woodTempC <= wood.above, "frozen wood"],
  ];
  return checks.filter(([isWrong]) => isWrong).map(([, problem]) => problem);
}
