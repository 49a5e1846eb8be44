// What a boil takes: water to drive off, heat, and hours over a pan.
import { sapBoilingTempC } from "./activity.ts";
import { waterBoilingTempC } from "./water.ts";
import { type SyrupYield, syrupFromSap } from "./yield.ts";

/**
 * Fall of the level in an open flat pan: one US gallon an hour from each square foot. Common practice, weakly
 * sourced; pans with flues do 2-4 times as much. One boil of one's own measures better (evaporationMmPerHFromBoil).
 */
export const flatPanMmPerH = 40.7;

// Heat of a sucrose solution, Z. Bubnik et al., "Sugar Technologists Manual" (1995), pure sucrose: J/(kg K).
const waterHeat = 4187;
const sugarHeat = -2971;
const warmSugarHeat = 7.5;
const joulesPerMj = 1e6;

/** Heat that warms one kg of sap or syrup by 1 C, J/(kg K), at 0-110 C and 0-92 Brix. */
export function sapHeatJPerKgK(sap: { brix: number; tempC: number }): number {
  const fraction = sap.brix / 100;
  return waterHeat + sugarHeat * fraction + warmSugarHeat * fraction * sap.tempC;
}

/** Heat that turns one kg of boiling water into steam, MJ/kg at 80-110 C; steam tables within 0.2 %. */
export function steamHeatMjPerKg(tempC: number): number {
  return (2500.9 - 2.44 * tempC) / 1000;
}

export type BoilNeed = SyrupYield & { heatingMj: number; steamMj: number; energyMj: number };

/**
 * Syrup, water and heat (into the sap, before losses) of boiling sapKg at sapBrix and tempC (0 to its boiling
 * point) down to syrupBrix (up to 70), at an air pressure of 30 to 120 kPa. Throws RangeError outside.
 */
export function boilNeed(boil: {
  sapKg: number;
  sapBrix: number;
  tempC: number;
  syrupBrix: number;
  pressurePa: number;
}): BoilNeed {
  const { sapKg, sapBrix, tempC, pressurePa } = boil;
  const made = syrupFromSap(boil);
  const boilingTempC = sapBoilingTempC({ brix: sapBrix, pressurePa });
  if (!(tempC >= 0 && tempC <= boilingTempC)) {
    throw new RangeError(
      `sap to boil requires 0 to ${boilingTempC.toFixed(1)} C, got ${tempC}; frozen sap needs thawing first`,
    );
  }
  const heatJPerKgK = sapHeatJPerKgK({ brix: sapBrix, tempC: (tempC + boilingTempC) / 2 });
  const heatingMj = (sapKg * heatJPerKgK * (boilingTempC - tempC)) / joulesPerMj;
  const steamMj = made.waterKg * steamHeatMjPerKg(waterBoilingTempC(pressurePa));
  return { ...made, heatingMj, steamMj, energyMj: heatingMj + steamMj };
}

function requirePositive(name: string, value: number): void {
  if (!(value > 0 && Number.isFinite(value))) {
    throw new RangeError(`${name} requires more than 0, got ${value}`);
  }
}

/**
 * Hours a pan of panAreaM2 takes for waterKg when its level falls by evaporationMmPerH (1 mm over 1 m2 is 1 kg of
 * water). Heating up from cold isn't counted apart. Throws RangeError for a pan or rate of 0 or less.
 */
export function boilHours(pan: {
  waterKg: number;
  panAreaM2: number;
  evaporationMmPerH?: number;
}): number {
  const { waterKg, panAreaM2, evaporationMmPerH = flatPanMmPerH } = pan;
  if (!(waterKg >= 0 && Number.isFinite(waterKg))) {
    throw new RangeError(`a boil requires 0 kg of water or more, got ${waterKg}`);
  }
  requirePositive("a pan's area", panAreaM2);
  requirePositive("evaporation", evaporationMmPerH);
  return waterKg / (panAreaM2 * evaporationMmPerH);
}

/** A pan's own rate from one boil: what it drove off in how many hours. Throws RangeError for 0 or less. */
export function evaporationMmPerHFromBoil(boil: {
  waterKg: number;
  panAreaM2: number;
  hours: number;
}): number {
  requirePositive("water driven off", boil.waterKg);
  requirePositive("a pan's area", boil.panAreaM2);
  requirePositive("hours of boiling", boil.hours);
  return boil.waterKg / (boil.panAreaM2 * boil.hours);
}

/** Heat an evaporating pan takes up, kW per m2, at its rate and the water's boiling temperature (80-110 C). */
export function panHeatKwPerM2(pan: { evaporationMmPerH: number; boilingTempC: number }): number {
  requirePositive("evaporation", pan.evaporationMmPerH);
  return (pan.evaporationMmPerH * steamHeatMjPerKg(pan.boilingTempC)) / 3.6;
}
