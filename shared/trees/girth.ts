// A tree's diameter from the tape around it.

const thinnestCm = 5;
const thickestCm = 1500;

function requireGirth(girthCm: number): void {
  if (!(girthCm >= thinnestCm && girthCm <= thickestCm)) {
    throw new RangeError(`girth requires ${thinnestCm} to ${thickestCm} cm, got ${girthCm}`);
  }
}

/**
 * Diameter = girth / pi; girthCm 5-1500, measured 1.2-1.4 m above the ground (M. Koelling, "Homemade Maple Syrup",
 * Michigan State University). Throws RangeError outside.
 */
export function diameterCmFromGirth(girthCm: number): number {
  requireGirth(girthCm);
  return girthCm / Math.PI;
}

/** Girth = diameter x pi. Throws RangeError when the girth is outside 5-1500 cm. */
export function girthCmFromDiameter(diameterCm: number): number {
  const girthCm = diameterCm * Math.PI;
  requireGirth(girthCm);
  return girthCm;
}

/** How a diameter and a girth of one tree don't go together. */
export type GirthSlip = "same number" | "halved" | "apart";

// A tape and a rule across an uneven trunk may differ by a tenth (own choice, no source).
const within = 0.1;

/**
 * What is wrong with a diameter given beside the girth: the same number twice; half the girth, a common shortcut that
 * makes a tree look 1.57 times as thick (10 inches pass for 15.7) and is tapped too young; or just not girth/pi.
 * Undefined when it fits. Throws RangeError for a girth outside 5-1500 cm.
 */
export function girthSlip(tree: { girthCm: number; diameterCm: number }): GirthSlip | undefined {
  const { girthCm, diameterCm } = tree;
  const isNear = (expectedCm: number) => Math.abs(diameterCm - expectedCm) <= within * expectedCm;
  if (isNear(diameterCmFromGirth(girthCm))) return undefined;
  if (isNear(girthCm / 2)) return "halved";
  return isNear(girthCm) ? "same number" : "apart";
}
