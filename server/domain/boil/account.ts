// What a boil's log adds up to: sap and sugar in, syrup out, water gone, heat, and how well pan and fire did.
import { sapDensityKgPerL } from "../../../shared/sap/density.ts";
import { brixInPan, sapBoilingTempC } from "../../../shared/syrup/activity.ts";
import { sapHeatJPerKgK, steamHeatMjPerKg } from "../../../shared/syrup/boil.ts";
import { type FuelKind, fuelHeatMj } from "../../../shared/syrup/fuel.ts";
import { waterBoilingTempC } from "../../../shared/syrup/water.ts";
import { msPerHour } from "../../../shared/units.ts";

export type EntryKind = "sap" | "pan" | "pressure" | "fuel" | "drawn";

/** One line of the log. Volumes in L as measured at tempC; amount in kg of wood or propane, or kWh. */
export type LogEntry = {
  atMs: number;
  kind: EntryKind;
  volumeL: number | null;
  brix: number | null;
  tempC: number | null;
  /** What the thermometer read too high that day, C; null when it wasn't zeroed. */
  offsetC: number | null;
  pressurePa: number | null;
  amount: number | null;
};

export type LoggedBoil = {
  startedMs: number;
  endedMs: number | null;
  aimBrix: number;
  panAreaM2: number | null;
  fuel: FuelKind;
  moistureFraction: number;
  entries: readonly LogEntry[];
};

export type BoilAccount = {
  sapVolumeL: number;
  sapKg: number;
  sugarKg: number;
  drawnVolumeL: number;
  drawnKg: number;
  drawnSugarKg: number;
  /** Syrup of the aimed density that the sugar drawn off is worth, L at 20 C. */
  syrupVolumeL: number;
  /** Still in the pan, by its temperature; null when nothing tells. */
  leftKg: number | null;
  waterKg: number | null;
  hours: number | null;
  fuelAmount: number;
  fuelMj: number;
  energyMj: number | null;
  evaporationMmPerH: number | null;
  efficiency: number | null;
};

const usualSapBrix = 2;
const usualSapTempC = 4;
const standardPa = 101_325;
const coldC = 20;
// Below this the pan's temperature says too little about its sugar.
const leastPanBrix = 15;
// A flat pan loses 41 mm an hour and one with flues two to four times that (shared/syrup/boil.ts). What is far outside
// is a time or an amount that was logged wrong, and teaches nothing (bounds of own choice).
const plausibleMmPerH = { least: 2, most: 250 };
// Shorter than this a boil is mostly warming up, or was written down afterwards: it teaches no rate (own choice).
const leastTellingHours = 0.5;
// A remainder of sugar this small is what the readings of Brix and volume are off by.
const drawnDryShare = 0.03;
const joulesPerMj = 1e6;

/** Sums up a boil. sap = drawn + left + water, always; what isn't known is null, never 0. */
export function accountOfBoil(boil: LoggedBoil): BoilAccount {
  const sap = sumOf(boil.entries.filter(({ kind }) => kind === "sap").map(sapAmount));
  const drawn = sumOf(boil.entries.filter(({ kind }) => kind === "drawn").map(drawnAmount(boil)));
  const leftKg = leftInPan(boil, { sap, drawn });
  const waterKg = leftKg === null ? null : Math.max(0, sap.massKg - drawn.massKg - leftKg);
  const hours = boil.endedMs === null ? null : (boil.endedMs - boil.startedMs) / msPerHour;
  const fuelAmount = boil.entries.reduce(
    (sum, { kind, amount }) => sum + (kind === "fuel" ? (amount ?? 0) : 0),
    0,
  );
  const fuelMj = fuelHeatMj({ ...boil, amount: fuelAmount });
  const energyMj = waterKg === null ? null : sap.heatingMj + waterKg * steamHeat(boil);
  const syrupKgPerL = sapDensityKgPerL({ brix: boil.aimBrix, tempC: coldC });
  return {
    sapVolumeL: sap.volumeL,
    sapKg: sap.massKg,
    sugarKg: sap.sugarKg,
    drawnVolumeL: drawn.volumeL,
    drawnKg: drawn.massKg,
    drawnSugarKg: drawn.sugarKg,
    syrupVolumeL: (drawn.sugarKg * 100) / boil.aimBrix / syrupKgPerL,
    leftKg,
    waterKg,
    hours,
    fuelAmount,
    fuelMj,
    energyMj,
    evaporationMmPerH: evaporationOf(boil, waterKg, hours),
    efficiency: efficiencyOf(energyMj, fuelMj),
  };
}

type Amount = { volumeL: number; massKg: number; sugarKg: number; heatingMj: number };

function sumOf(amounts: readonly Amount[]): Amount {
  return amounts.reduce(
    (sum, each) => ({
      volumeL: sum.volumeL + each.volumeL,
      massKg: sum.massKg + each.massKg,
      sugarKg: sum.sugarKg + each.sugarKg,
      heatingMj: sum.heatingMj + each.heatingMj,
    }),
    { volumeL: 0, massKg: 0, sugarKg: 0, heatingMj: 0 },
  );
}

function sapAmount({ volumeL, brix, tempC }: LogEntry): Amount {
  const sap = { brix: brix ?? usualSapBrix, tempC: tempC ?? usualSapTempC };
  const massKg = (volumeL ?? 0) * sapDensityKgPerL(sap);
  const boilingC = sapBoilingTempC({ brix: sap.brix, pressurePa: standardPa });
  const warmingC = Math.max(0, boilingC - sap.tempC);
  const heatJPerKgK = sapHeatJPerKgK({ brix: sap.brix, tempC: (boilingC + sap.tempC) / 2 });
  return {
    volumeL: volumeL ?? 0,
    massKg,
    sugarKg: (massKg * sap.brix) / 100,
    heatingMj: (massKg * heatJPerKgK * warmingC) / joulesPerMj,
  };
}

function drawnAmount(boil: LoggedBoil): (entry: LogEntry) => Amount {
  return ({ volumeL, brix, tempC }) => {
    const syrup = { brix: brix ?? boil.aimBrix, tempC: tempC ?? coldC };
    const massKg = (volumeL ?? 0) * sapDensityKgPerL(syrup);
    return { volumeL: volumeL ?? 0, massKg, sugarKg: (massKg * syrup.brix) / 100, heatingMj: 0 };
  };
}

/** By the sugar that is left and the pan's last Brix; nothing when all of the sugar was drawn off. */
function leftInPan(boil: LoggedBoil, { sap, drawn }: { sap: Amount; drawn: Amount }) {
  const sugarKg = sap.sugarKg - drawn.sugarKg;
  if (sap.massKg === 0) return null;
  if (sugarKg <= drawnDryShare * sap.sugarKg) return 0;
  const brix = lastPanBrix(boil);
  if (brix === undefined || brix < leastPanBrix) return null;
  return Math.min((sugarKg * 100) / brix, Math.max(0, sap.massKg - drawn.massKg));
}

/** The pan's Brix at its last reading; undefined when sap came in after it. */
function lastPanBrix({ entries }: LoggedBoil): number | undefined {
  const told = entries.filter(({ kind }) => kind === "pan" || kind === "sap").at(-1);
  if (told?.kind !== "pan" || told.tempC === null) return undefined;
  const pressurePa = told.pressurePa ?? pressureOfBoil(entries);
  return brixInPan({ tempC: told.tempC - (told.offsetC ?? 0), pressurePa });
}

/** The last pressure that was noted, else the standard one. */
export function pressureOfBoil(entries: readonly LogEntry[]): number {
  return entries.findLast(({ pressurePa }) => pressurePa !== null)?.pressurePa ?? standardPa;
}

function steamHeat({ entries }: LoggedBoil): number {
  return steamHeatMjPerKg(waterBoilingTempC(pressureOfBoil(entries)));
}

function evaporationOf(boil: LoggedBoil, waterKg: number | null, hours: number | null) {
  if (waterKg === null || hours === null || boil.panAreaM2 === null) return null;
  if (!(waterKg > 0 && hours >= leastTellingHours)) return null;
  const mmPerH = waterKg / (boil.panAreaM2 * hours);
  return mmPerH >= plausibleMmPerH.least && mmPerH <= plausibleMmPerH.most ? mmPerH : null;
}

/** More heat in the sap than the fuel has: the log is incomplete and teaches nothing. */
function efficiencyOf(energyMj: number | null, fuelMj: number): number | null {
  if (energyMj === null || fuelMj <= 0) return null;
  const share = energyMj / fuelMj;
  return share > 0 && share <= 1 ? share : null;
}
