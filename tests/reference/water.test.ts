// The boiling point of water against the published check values and an independent program.
import { expect, it } from "vitest";
import { stationPressurePa } from "../../shared/syrup/station-pressure.ts";
import { waterBoilingPressurePa, waterBoilingTempC } from "../../shared/syrup/water.ts";
import { readCsv, referenceFile } from "../helpers/reference-data.ts";

// IAPWS R7-97(2012), table 36: saturation temperatures by the backward equation.
it.each([
  [0.1, 372.755919],
  [1, 453.035632],
  [10, 584.149488],
])("water boils under %d MPa at %d K", (pressureMpa, tempK) => {
  expect(waterBoilingTempC(pressureMpa * 1e6) + 273.15).toBeCloseTo(tempK, 6);
});

// IAPWS R7-97(2012), table 35: saturation pressures.
it.each([
  [300, 0.00353658941],
  [500, 2.63889776],
  [600, 12.3443146],
])("water boils at %d K under %d MPa", (tempK, pressureMpa) => {
  const relative = waterBoilingPressurePa(tempK - 273.15) / (pressureMpa * 1e6);
  expect(Math.abs(relative - 1)).toBeLessThan(2e-9);
});

// IAPWS-IF97 computed with the program iapws 1.5.3.
it.each([
  [900, 96.687],
  [950, 98.1783],
  [980, 99.0421],
  [1000, 99.6059],
  [1013.25, 99.9743],
  [1040, 100.706],
])("water boils under %d hPa at %d C", (pressureHpa, tempC) => {
  expect(Math.abs(waterBoilingTempC(pressureHpa * 100) - tempC)).toBeLessThan(6e-5);
});

const tablePath = referenceFile("iapws_tsat/iapws_if97_tsat.csv");

it.runIf(tablePath !== undefined)("every row of the computed IAPWS table agrees", () => {
  const rows = readCsv(tablePath!);
  expect(rows.length).toBeGreaterThan(40);
  for (const row of rows) {
    const tempC = waterBoilingTempC(Number(row["pressure_hPa"]) * 100);
    expect(Math.abs(tempC - Number(row["tsat_C_ITS90"]))).toBeLessThan(6e-5);
  }
});

// U.S. Standard Atmosphere 1976, table I: pressure by geometric altitude, hPa.
// Values from memory.
it.each([
  [0, 1013.25],
  [500, 954.61],
  [1000, 898.76],
  [2000, 795.01],
])("the standard air presses at %d m with %d hPa", (altitudeM, pressureHpa) => {
  const pressurePa = stationPressurePa({ seaLevelPressurePa: 101_325, altitudeM });
  expect(Math.abs(pressurePa / 100 - pressureHpa)).toBeLessThan(0.2);
});
