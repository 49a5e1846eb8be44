// Filling bottles: how hot, how many, and how full they are once cold.
import { sapDensityKgPerL } from "../sap/density.ts";

/**
 * Temperatures in C so that syrup keeps: fill at 85-87, at least 82 when capped; Ontario Ministry of Agriculture,
 * "Best Production Practices". leastFullFraction: Canadian Food Inspection Agency, once cold at 20 C.
 */
export const bottlingRules = {
  fillFromC: 85,
  fillToC: 87,
  leastCappedC: 82,
  leastFullFraction: 0.9,
  invertMin: { from: 5, to: 10 },
} as const;

const highestTempC = 110;
const coldTempC = 20;

/**
 * Syrup about to be filled: "too cold" to keep below 82 C, "cooling" to 85 (cap at once), "right" to 87, "hot" above.
 * Throws RangeError outside 0-110 C.
 */
export function fillingVerdict(tempC: number): "too cold" | "cooling" | "right" | "hot" {
  requireTemp(tempC);
  if (tempC < bottlingRules.leastCappedC) return "too cold";
  if (tempC < bottlingRules.fillFromC) return "cooling";
  return tempC <= bottlingRules.fillToC ? "right" : "hot";
}

/**
 * Share of its hot volume that syrup of brix (0-70) filled at tempC (0-110) has at 20 C; above 80 C the density is
 * extrapolated. Throws RangeError for a temperature outside.
 */
export function cooledFraction(syrup: { brix: number; tempC: number }): number {
  requireTemp(syrup.tempC);
  return sapDensityKgPerL(syrup) / sapDensityKgPerL({ brix: syrup.brix, tempC: coldTempC });
}

/**
 * Whole bottles of bottleVolumeL (brimful) that syrupVolumeL (at 20 C) fills to fillFraction when cold, 0.9-1, and
 * what is left over. Throws RangeError for a volume below 0, a bottle of none, or another fill.
 */
export function bottlesFromSyrup(filling: {
  syrupVolumeL: number;
  bottleVolumeL: number;
  fillFraction: number;
}): { bottles: number; leftL: number } {
  const { syrupVolumeL, bottleVolumeL, fillFraction } = filling;
  if (!(syrupVolumeL >= 0 && Number.isFinite(syrupVolumeL) && bottleVolumeL > 0)) {
    throw new RangeError(`bottling requires volumes, got ${syrupVolumeL} into ${bottleVolumeL} L`);
  }
  if (!(fillFraction >= bottlingRules.leastFullFraction && fillFraction <= 1)) {
    throw new RangeError(
      `a bottle requires filling to ${bottlingRules.leastFullFraction} to 1, got ${fillFraction}`,
    );
  }
  const eachL = bottleVolumeL * fillFraction;
  const roundingSlack = 1e-9;
  const bottles = Math.floor(syrupVolumeL / eachL + roundingSlack);
  return { bottles, leftL: Math.max(0, syrupVolumeL - bottles * eachL) };
}

/**
 * As bottlesFromSyrup for several sizes: as many of the largest as can be filled, the rest into the next. Sizes that
 * get none are left out. Throws RangeError as bottlesFromSyrup.
 */
export function bottlesOfSizes(filling: {
  syrupVolumeL: number;
  sizesL: readonly number[];
  fillFraction: number;
}): { bottles: { volumeL: number; count: number }[]; leftL: number } {
  const { fillFraction } = filling;
  const bottles: { volumeL: number; count: number }[] = [];
  let leftL = filling.syrupVolumeL;
  for (const volumeL of filling.sizesL.toSorted((one, other) => other - one)) {
    const filled = bottlesFromSyrup({ syrupVolumeL: leftL, bottleVolumeL: volumeL, fillFraction });
    leftL = filled.leftL;
    if (filled.bottles > 0) bottles.push({ volumeL, count: filled.bottles });
  }
  return { bottles, leftL };
}

function requireTemp(tempC: number): void {
  if (!(tempC >= 0 && tempC <= highestTempC)) {
    throw new RangeError(`syrup requires 0 to ${highestTempC} C, got ${tempC}`);
  }
}
