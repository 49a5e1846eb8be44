// What a floating hydrometer shows in hot or cold sap and syrup, and Brix from what it shows.
import { sapDensityKgPerL } from "../sap/density.ts";
import { bisectRising } from "./bisect.ts";

// Cubic expansion of the soda-lime glass hydrometers are made of, per C; common value, from memory.
const glassPerC = 25e-6;
const highestBrix = 75;
const highestTempC = 105;
const sixtyFahrenheitC = 15.56;

/** Temperatures at which hydrometers are marked: 60 F and 20 C for syrup, 38 F for some made for cold sap. */
export const hydrometerMarksC = { at60F: sixtyFahrenheitC, at20C: 20, at38F: 3.33 } as const;

type Float = { tempC: number; markedAtC?: number };

function requireFloat(brix: number, { tempC, markedAtC = sixtyFahrenheitC }: Float): number {
  if (!(brix >= 0 && brix <= highestBrix)) {
    throw new RangeError(`a hydrometer requires 0 to ${highestBrix} Brix, got ${brix}`);
  }
  if (!(tempC >= 0 && tempC <= highestTempC)) {
    throw new RangeError(`a hydrometer requires 0 to ${highestTempC} C, got ${tempC}`);
  }
  if (!(markedAtC >= 0 && markedAtC <= 30)) {
    throw new RangeError(`a hydrometer requires marking at 0 to 30 C, got ${markedAtC}`);
  }
  return markedAtC;
}

/**
 * Brix from density in kg/L at tempC (0-105 C), 0 to 75: the nearer end beyond an end. Inverse of
 * sapDensityKgPerL.
 */
function brixFromDensity(densityKgPerL: number, tempC: number): number {
  return bisectRising((brix) => sapDensityKgPerL({ brix, tempC }), {
    value: densityKgPerL,
    low: 0,
    high: highestBrix,
  });
}

/**
 * Brix that a hydrometer marked at markedAtC (60 F unless told) shows in a liquid of brix (0-75) at tempC
 * (0-105 C). A reading of 0 means 0 or less. ICUMSA densities and the glass's own swelling; above 80 C the
 * densities are extrapolated. Throws RangeError outside.
 */
export function hydrometerReadingBrix(float: Float & { brix: number }): number {
  const markedAtC = requireFloat(float.brix, float);
  const swelling = 1 + glassPerC * (float.tempC - markedAtC);
  return brixFromDensity(sapDensityKgPerL(float) * swelling, markedAtC);
}

/**
 * Brix of a liquid at tempC in which a hydrometer marked at markedAtC (60 F unless told) shows readingBrix.
 * undefined when no liquid of 0-75 Brix gives that reading. Throws RangeError outside the ranges of the reading.
 */
export function brixFromHydrometer(float: Float & { readingBrix: number }): number | undefined {
  const markedAtC = requireFloat(float.readingBrix, float);
  const swelling = 1 + glassPerC * (float.tempC - markedAtC);
  const densityKgPerL = sapDensityKgPerL({ brix: float.readingBrix, tempC: markedAtC }) / swelling;
  const thinnest = sapDensityKgPerL({ brix: 0, tempC: float.tempC });
  const thickest = sapDensityKgPerL({ brix: highestBrix, tempC: float.tempC });
  const slack = 1e-9;
  if (densityKgPerL < thinnest - slack || densityKgPerL > thickest + slack) return undefined;
  return brixFromDensity(densityKgPerL, float.tempC);
}

/** Degrees Baume at 60 F, 145 - 145/SG (60/60 F), of a liquid of brix, 0-75. Throws RangeError outside. */
export function baumeFromBrix(brix: number): number {
  requireFloat(brix, { tempC: sixtyFahrenheitC });
  const densityKgPerL = sapDensityKgPerL({ brix, tempC: sixtyFahrenheitC });
  const gravity = densityKgPerL / sapDensityKgPerL({ brix: 0, tempC: sixtyFahrenheitC });
  return 145 - 145 / gravity;
}
