// The measures of the drawn pail, in units of its 140 x 182 drawing.

export const pailBox = { width: 140, height: 182 };
const rimY = 66;
const bottomY = 160;
const rimHalf = 45;
const bottomHalf = 33;
const middleX = 70;

/** Height and half width of the sap's surface for a filling of 0 to 1; beyond is clamped. */
export function surfaceAt(fullFraction: number): { y: number; half: number; rise: number } {
  const filled = Math.min(1, Math.max(0, fullFraction));
  const y = bottomY - filled * (bottomY - rimY);
  const half = bottomHalf + filled * (rimHalf - bottomHalf);
  return { y, half, rise: half * 0.15 };
}

/** The sap from its surface down to the pail's bottom. */
export function sapPath(fullFraction: number): string {
  const { y, half, rise } = surfaceAt(fullFraction);
  const left = middleX - half;
  const right = middleX + half;
  return `M${left} ${y} L${middleX - bottomHalf} ${bottomY} Q${middleX} ${bottomY + 9} ${
    middleX + bottomHalf
  } ${bottomY} L${right} ${y} A${half} ${rise} 0 0 1 ${left} ${y}Z`;
}

/** A cap of ice that stands a little above the level, faceted. */
export function icePath(fullFraction: number, iceFraction: number): string {
  const { y, half } = surfaceAt(fullFraction);
  const hump = 5 + 7 * iceFraction;
  const depth = Math.min(bottomY - y - 2, 8 + 40 * iceFraction);
  const at = (across: number, down: number) => `${middleX + half * across} ${y + down}`;
  return `M${at(-1, 0)} L${at(-0.55, -hump * 0.7)} L${at(0.05, -hump)} L${at(0.6, -hump * 0.6)} L${at(1, 0)} L${at(0.86, depth * 0.8)} L${at(0.3, depth)} L${at(-0.25, depth * 0.75)} L${at(-0.84, depth * 0.9)}Z`;
}

/** Two cracks in the ice, smaller where there is little of it. */
export function crackPath(fullFraction: number): string {
  const { y, half } = surfaceAt(fullFraction);
  const size = Math.max(0.2, Math.min(1, (bottomY - y) / 20));
  const by = (across: number, down: number) => `${across * size} ${down * size}`;
  const left = `M${middleX - half * 0.5} ${y - 4 * size} l${by(9, 11)} l${by(-4, 9)}`;
  const right = `M${middleX + half * 0.25} ${y - 6 * size} l${by(-5, 12)} l${by(9, 8)}`;
  return `${left} ${right}`;
}

export const bodyPath = `M${middleX - rimHalf} ${rimY} L${middleX - bottomHalf} ${bottomY} Q${middleX} ${
  bottomY + 9
} ${middleX + bottomHalf} ${bottomY} L${middleX + rimHalf} ${rimY}`;
/** The bottom as one sees it from above in an empty pail, and a seam that nothing covers. */
export const floorPath = `M${middleX - bottomHalf} ${bottomY} Q${middleX} ${bottomY - 15} ${
  middleX + bottomHalf
} ${bottomY} M${middleX} ${rimY + 7} V${bottomY - 8}`;
export const bailPath = "M26 70 C27 38 56 28 70 28 S113 38 114 70";
export const rim = { cx: middleX, cy: rimY, rx: rimHalf, ry: rimHalf * 0.15 };
