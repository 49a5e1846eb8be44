// The plan of a boil: from sap in hand to syrup, water, heat, hours, fuel, when to light the fire, when to draw off.
import { sapDensityKgPerL } from "../../../shared/sap/density.ts";
import { sapBoilingTempC } from "../../../shared/syrup/activity.ts";
import { boilHours, boilNeed } from "../../../shared/syrup/boil.ts";
import { densityLaws } from "../../../shared/syrup/density-laws.ts";
import { finishingFromPressure } from "../../../shared/syrup/finishing.ts";
import {
  type Arch,
  electricityKwhForBoil,
  type FuelKind,
  propaneForBoil,
  stackedM3PerCord,
  usualEfficiency,
  type WoodSpecies,
  woodForBoil,
} from "../../../shared/syrup/fuel.ts";
import { startTime } from "../../../shared/syrup/start-time.ts";
import { sapRules, sapVolumeByRule, sapVolumePerSyrupVolume } from "../../../shared/syrup/yield.ts";
import type { Learned, PanRecord } from "./pan-record.ts";

export type LawKey = "usda" | "canada" | "new-york" | "vermont" | "maine";
export type ZeroedThermometer = { offsetC: number; old: boolean };

export type PlanInput = {
  nowMs: number;
  sap: { volumeL: number; brix: number; tempC: number; boilByMs: number | null };
  aim: { law: LawKey; aimBrix: number };
  pressure: { pressurePa: number; spreadPa: number };
  thermometer: ZeroedThermometer | null;
  panAreaM2: number | null;
  fire: { fuel: FuelKind; arch: Arch; wood: WoodSpecies; moistureFraction: number };
  holdUpL: number;
  doneByMs: number | null;
  record: PanRecord;
};

// A thermometer shows tenths; one that wasn't zeroed may be off by half a degree (DS18B20 data sheet: 0.5 C).
const readingSpreadC = 0.1;
const unzeroedSpreadC = 0.5;
const paPerHpa = 100;

/** The whole plan. Mass closes: sap = syrup + water. Throws RangeError as the functions it is made of. */
export function planOfBoil(input: PlanInput) {
  const { sap, aim, pressure, record } = input;
  const massKg = sap.volumeL * sapDensityKgPerL(sap);
  const tempC = Math.max(0, sap.tempC);
  const need = boilNeed({
    sapKg: massKg,
    sapBrix: sap.brix,
    tempC,
    syrupBrix: aim.aimBrix,
    pressurePa: pressure.pressurePa,
  });
  const hours = hoursOf(need.waterKg, input.panAreaM2, record.evaporation);
  return {
    massKg,
    finishing: finishingOf(input),
    syrup: {
      syrupKg: need.syrupKg,
      syrupVolumeL: need.syrupVolumeL,
      bottledVolumeL: Math.max(0, need.syrupVolumeL - input.holdUpL),
      waterKg: need.waterKg,
      ...ratiosOf(sap, aim.aimBrix),
    },
    heat: { heatingMj: need.heatingMj, steamMj: need.steamMj, energyMj: need.energyMj },
    hours,
    fuel: fuelOf(need.energyMj, input),
    // What stays in pan and filter is no reason to light a fire.
    start: need.syrupVolumeL <= input.holdUpL ? null : startOf(input, hours),
  };
}

/** How many volumes of sap to one of syrup: exactly, and by each rule of thumb. */
function ratiosOf(sap: PlanInput["sap"], syrupBrix: number) {
  return {
    sapPerSyrup: sapVolumePerSyrupVolume({ sapBrix: sap.brix, syrupBrix }),
    rules: sapRules.map(({ factor, syrupBrix: ruleBrix, source }) => {
      const sapPerSyrup = sapVolumeByRule(factor, sap.brix);
      return {
        factor,
        syrupBrix: ruleBrix,
        sapPerSyrup,
        syrupVolumeL: sap.volumeL / sapPerSyrup,
        source,
      };
    }),
  };
}

/**
 * A thermometer zeroed today in boiling water at the same place needs no true pressure: what the barometer is off
 * by is in its offset.
 */
function finishingOf({ aim, pressure, thermometer }: PlanInput) {
  const { pressurePa, spreadPa } = pressure;
  const law = lawOf(aim.law);
  const finishing = finishingFromPressure({ brix: aim.aimBrix, pressurePa });
  const isZeroed = thermometer !== null && !thermometer.old;
  const pressureSpreadC = isZeroed ? 0 : (spreadPa / paPerHpa) * finishing.cPerHpa;
  const spreadC = Math.hypot(isZeroed ? readingSpreadC : unzeroedSpreadC, pressureSpreadC);
  return {
    law: aim.law,
    lawName: law.name,
    lawSource: law.source,
    aimBrix: aim.aimBrix,
    lowestBrix: law.lowestBrix,
    highestBrix: law.highestBrix,
    ...finishing,
    highestTempC: sapBoilingTempC({ brix: law.highestBrix, pressurePa }),
    onThermometerC: thermometer === null ? null : finishing.finishingTempC + thermometer.offsetC,
    spreadC,
    spreadBrix: spreadC * finishing.brixPerC,
  };
}

/** Throws RangeError for a key that none of the laws has. */
export function lawOf(key: string) {
  const law = densityLaws.find((each) => each.key === key);
  if (law === undefined) throw new RangeError(`a density law requires a known key, got ${key}`);
  return law;
}

function hoursOf(waterKg: number, panAreaM2: number | null, evaporation: Learned) {
  if (panAreaM2 === null) return null;
  const at = (evaporationMmPerH: number) => boilHours({ waterKg, panAreaM2, evaporationMmPerH });
  return {
    middle: at(evaporation.middle),
    low: at(evaporation.high),
    high: at(evaporation.low),
    panAreaM2,
    evaporationMmPerH: evaporation,
  };
}

/** All three fuels, the chosen one with the efficiency that was learned, the others with the usual. */
function fuelOf(energyMj: number, { fire, record }: PlanInput) {
  const { efficiency: learned } = record;
  const of = (fuel: FuelKind, usual: number) => (fire.fuel === fuel ? learned.middle : usual);
  const woodShare = of("wood", usualEfficiency[fire.arch]);
  const gasShare = of("propane", usualEfficiency.propane);
  const electricShare = of("electricity", usualEfficiency.electricity);
  const wood = woodForBoil({
    energyMj,
    efficiency: woodShare,
    species: fire.wood,
    moistureFraction: fire.moistureFraction,
  });
  const propane = propaneForBoil({ energyMj, efficiency: gasShare });
  const energyKwh = electricityKwhForBoil({ energyMj, efficiency: electricShare });
  const chosen = { wood: wood.woodKg, propane: propane.propaneKg, electricity: energyKwh };
  return {
    chosen: fire.fuel,
    efficiency: learned,
    wood: {
      ...wood,
      cords: wood.stackedM3 / stackedM3PerCord,
      wood: fire.wood,
      moistureFraction: fire.moistureFraction,
      efficiency: woodShare,
    },
    propane: { ...propane, efficiency: gasShare },
    electricity: { energyKwh, efficiency: electricShare },
    low: (chosen[fire.fuel] * learned.middle) / learned.high,
    high: (chosen[fire.fuel] * learned.middle) / learned.low,
  };
}

/** On the careful side: by the slow end of the hours. */
function startOf({ nowMs, sap, doneByMs }: PlanInput, hours: { high: number } | null) {
  if (hours === null || sap.volumeL === 0) return null;
  const start = startTime({
    hours: hours.high,
    nowMs,
    ...(sap.boilByMs === null ? {} : { boilByMs: sap.boilByMs }),
    ...(doneByMs === null ? {} : { doneByMs }),
  });
  if (start === undefined) return null;
  return {
    ...start,
    startByMs: Math.max(0, Math.round(start.startByMs)),
    lateMs: Math.round(start.lateMs),
    boilByMs: sap.boilByMs,
    doneByMs,
  };
}
