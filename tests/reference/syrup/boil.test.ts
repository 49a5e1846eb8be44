// Heat, hours and fuel of a boil against published figures.
import { expect, it } from "vitest";
import { sapDensityKgPerL } from "../../../shared/sap/density.ts";
import { boilHours, boilNeed, panHeatKwPerM2 } from "../../../shared/syrup/boil.ts";
import {
  stackedM3PerCord,
  stackedWoodKgPerM3,
  woodForBoil,
  woodHeatMjPerKg,
} from "../../../shared/syrup/fuel.ts";
import { sapVolumePerSyrupVolume } from "../../../shared/syrup/yield.ts";
import { lFromUsGallons } from "../../../shared/units.ts";

const oneAtmospherePa = 101_325;
const hundredKg = {
  sapKg: 100,
  sapBrix: 2,
  tempC: 4,
  syrupBrix: 66.9,
  pressurePa: oneAtmospherePa,
};

it("100 kg of 2 Brix at 4 C take 259 MJ, and 7.2 h over a flat pan of 0.33 m2", () => {
  // Heat balance computed by an independent program.
  const need = boilNeed(hundredKg);
  expect(Math.abs(need.energyMj - 259)).toBeLessThan(0.5);
  expect(boilHours({ waterKg: need.waterKg, panAreaM2: 0.33 })).toBeCloseTo(7.2, 1);
});

it.each([
  [0.5, 36],
  [0.35, 52],
  [0.25, 72],
])("at an efficiency of %d they take %d kg of wood at 20 %% moisture", (efficiency, woodKg) => {
  // Heat balance computed by an independent program, 14.3 MJ/kg.
  const { energyMj } = boilNeed(hundredKg);
  const wood = woodForBoil({ energyMj, efficiency, species: "sugarMaple", moistureFraction: 0.2 });
  expect(Math.abs(wood.woodKg - woodKg)).toBeLessThan(0.6);
  expect(woodHeatMjPerKg(0.2)).toBeCloseTo(14.3, 1);
});

it("a gallon of syrup from 2 % sap takes within 2 % of 422 MJ", () => {
  // L. Ober, Ohio State Univ. Extension: 400,000 BTU (422 MJ) a gallon.
  const sapBrix = 2;
  const sapVolumeL = lFromUsGallons(sapVolumePerSyrupVolume({ sapBrix, syrupBrix: 66 }));
  const sapKg = sapVolumeL * sapDensityKgPerL({ brix: sapBrix, tempC: 20 });
  const need = boilNeed({ ...hundredKg, sapKg, syrupBrix: 66 });
  expect(Math.abs(need.energyMj / 422 - 1)).toBeLessThan(0.02);
});

it("22 gallons of syrup a cord of seasoned maple need the low end of the published 40 to 60 %", () => {
  // L. Ober, Ohio State Univ. Extension: 22 gal a cord of dry wood, open evaporators 40-60 % efficient.
  const cordKg =
    stackedM3PerCord * stackedWoodKgPerM3({ species: "sugarMaple", moistureFraction: 0.2 });
  const efficiency = (22 * 422) / (cordKg * woodHeatMjPerKg(0.2));
  expect(Math.abs(efficiency - 0.4)).toBeLessThan(0.02);
});

it("a gallon an hour from a square foot is 25.5 kW from a square metre", () => {
  // 3.785 L/h over 0.0929 m2 at 2.257 MJ/kg (steam tables).
  const evaporationMmPerH = lFromUsGallons(1) / 0.3048 ** 2;
  expect(boilHours({ waterKg: lFromUsGallons(1), panAreaM2: 0.3048 ** 2 })).toBeCloseTo(1, 2);
  expect(panHeatKwPerM2({ evaporationMmPerH, boilingTempC: 100 })).toBeCloseTo(25.5, 1);
});
