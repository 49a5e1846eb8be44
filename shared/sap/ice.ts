// What throwing ice away costs in sugar.
import { sucroseDensityKgPerM3 } from "./density.ts";

/**
 * Share of the sap's sugar that ice holds, mass for mass: 0.2, from hobby measurements of 0-1 % in
 * the ice of 2-3 % sap (0-0.5); sources disagree on throwing the first ice out.
 */
export const iceSugarShare = 0.2;
const syrupBrix = 66.9;
const gPerKg = 1000;

/** Sugar in ice of massKg from sap of brix (0-15), in g, and the syrup of 66.9 Brix it would make, in mL. */
export function sugarInIce({ massKg, brix }: { massKg: number; brix: number }) {
  const sugarG = massKg * gPerKg * iceSugarShare * (brix / 100);
  const syrupG = sugarG / (syrupBrix / 100);
  const syrupKgPerL = sucroseDensityKgPerM3({ sugarFraction: syrupBrix / 100, tempC: 20 }) / gPerKg;
  return { sugarG, syrupMl: syrupG / syrupKgPerL };
}
