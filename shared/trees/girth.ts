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

/**
 * Whether a diameter given with a girth was got by halving the girth, a common shortcut that makes a tree look 1.57
 * times as thick (10 inches pass for 15.7) and is tapped too young: nearer to girth/2 than to girth/pi.
 */
export function looksHalved(tree: { girthCm: number; diameterCm: number }): boolean {
  const trueCm = diameterCmFromGirth(tree.girthCm);
  const halvedCm = tree.girthCm / 2;
  return Math.abs(tree.diameterCm - halvedCm) < Math.abs(tree.diameterCm - trueCm);
}
