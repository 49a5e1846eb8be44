// How sugar holds water back: its activity, the rise of the boiling point, and Brix from a pan's temperature.
import { bisectRising } from "./bisect.ts";
import { waterBoilingPressurePa, waterBoilingTempC } from "./water.ts";

// M. Starzak, S. D. Peacock, "Water activity coefficient in aqueous solutions of sucrose", Zuckerindustrie 122
// (1997) 380: ln gamma = Q/(R T) x^2 (1 + a x + b x^2), x the mole fraction of sucrose.
const qJPerMol = -17_638;
const a = -1.0038;
const b = -0.24653;
const gasJPerMolK = 8.314462618;
const sucroseGPerMol = 342.297;
const waterGPerMol = 18.0153;
const zeroCAsK = 273.15;

const highestBrix = 92;
const lowestPa = 30_000;
const highestPa = 120_000;
// Each round leaves less than 4 % of the error, even at 92 Brix.
const rounds = 12;

type Solution = { brix: number; tempC: number };

/**
 * Share of pure water's vapour pressure that is left over a sucrose solution, 0-1. brix is percent of sugar by
 * mass, 0-92. Starzak & Peacock 1997. Throws RangeError outside.
 */
export function waterActivity(solution: Solution): number {
  const { brix, tempC } = solution;
  if (!(brix >= 0 && brix <= highestBrix)) {
    throw new RangeError(`water activity requires 0 to ${highestBrix} Brix, got ${brix}`);
  }
  if (!(tempC > -zeroCAsK && Number.isFinite(tempC))) {
    throw new RangeError(`water activity requires a temperature in C, got ${tempC}`);
  }
  const sugarMol = brix / sucroseGPerMol;
  const x = sugarMol / (sugarMol + (100 - brix) / waterGPerMol);
  const strength = qJPerMol / (gasJPerMolK * (tempC + zeroCAsK));
  return (1 - x) * Math.exp(strength * x ** 2 * (1 + a * x + b * x ** 2));
}

/**
 * Temperature at which sap or syrup of brix (0-92) boils; pressurePa is that of the air at the pan,
 * 30 to 120 kPa. At 66 Brix within 0.1 C of the trade's figure. Throws RangeError outside.
 */
export function sapBoilingTempC(pan: { brix: number; pressurePa: number }): number {
  requirePanPressure(pan.pressurePa);
  let tempC = waterBoilingTempC(pan.pressurePa);
  for (let round = 0; round < rounds; round += 1) {
    const activity = waterActivity({ brix: pan.brix, tempC });
    tempC = waterBoilingTempC(pan.pressurePa / activity);
  }
  return tempC;
}

/** How far above water sap or syrup of brix boils, C (a difference). Ranges as sapBoilingTempC. */
export function boilingRiseC(pan: { brix: number; pressurePa: number }): number {
  return sapBoilingTempC(pan) - waterBoilingTempC(pan.pressurePa);
}

/**
 * Brix in a boiling pan from its temperature. undefined below the boiling point of water, where the pan doesn't
 * boil or the thermometer reads low; 92 at most. Near 66 Brix 0.1 C is 0.46 Brix, so a thermometer must be zeroed
 * in boiling water the same day. Throws RangeError for a pressure outside 30 to 120 kPa.
 */
export function brixInPan(pan: { tempC: number; pressurePa: number }): number | undefined {
  const { tempC, pressurePa } = pan;
  requirePanPressure(pressurePa);
  if (tempC < waterBoilingTempC(pressurePa)) return undefined;
  const activity = pressurePa / waterBoilingPressurePa(tempC);
  return bisectRising((brix) => -waterActivity({ brix, tempC }), {
    value: -activity,
    low: 0,
    high: highestBrix,
  });
}

function requirePanPressure(pressurePa: number): void {
  if (!(pressurePa >= lowestPa && pressurePa <= highestPa)) {
    throw new RangeError(
      `a pan in the open requires ${lowestPa} to ${highestPa} Pa, got ${pressurePa}`,
    );
  }
}
