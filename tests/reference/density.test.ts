// Density and freezing of sap against published tables.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  gFromVolumeL,
  sapDensityKgPerL,
  sucroseDensityKgPerM3,
  volumeLFromG,
  waterDensityKgPerM3,
} from "../../shared/sap/density.ts";
import { sapFreezingPointC } from "../../shared/sap/freezing.ts";

describe("water density", () => {
  // IAPWS-IF97 at 101,325 Pa, computed with the program iapws 1.5.3.
  it.each([
    [0, 999.844],
    [2, 999.944],
    [4, 999.975],
    [10, 999.702],
    [16, 998.945],
    [20, 998.206],
    [30, 995.652],
    [50, 988.047],
    [76, 974.256],
  ])("at %d C is within 0.02 kg/m3 of IAPWS-IF97", (tempC, densityKgPerM3) => {
    expect(Math.abs(waterDensityKgPerM3(tempC) - densityKgPerM3)).toBeLessThan(0.02);
  });
});

describe("sucrose density", () => {
  // CRC Handbook of Chemistry and Physics, 102nd ed. (2021), g/cm3 at 20 C; 66 and 68 % older editions, as
  // quoted with them.
  it.each([
    [0.5, 1.0002],
    [1, 1.0021],
    [2, 1.006],
    [3, 1.0099],
    [4, 1.0139],
    [5, 1.0178],
    [10, 1.0381],
    [60, 1.2864],
    [66, 1.3224],
    [68, 1.3348],
    [70, 1.3472],
  ])("at %d %% and 20 C is within 0.0003 of the CRC Handbook", (brix, densityKgPerL) => {
    expect(Math.abs(sapDensityKgPerL({ brix, tempC: 20 }) - densityKgPerL)).toBeLessThan(0.0003);
  });

  // U.S. National Bureau of Standards, Circular C440 (1942), pounds per US gallon weighed in air at 20 C.
  // True density = apparent x (1 - 0.0012/8.4) + 0.0012 g/cm3 (brass weights).
  it.each([
    [0, 8.322],
    [0.5, 8.338],
    [1, 8.354],
    [1.5, 8.37],
    [2, 8.387],
    [2.5, 8.403],
    [3, 8.419],
    [4, 8.452],
    [5, 8.486],
    [5.2, 8.492],
  ])("at %d Brix agrees with NBS Circular C440 to its last digit", (brix, poundsPerGallon) => {
    const apparent = (poundsPerGallon * 0.45359237) / 3.785411784;
    const densityKgPerL = apparent * (1 - 0.0012 / 8.4) + 0.0012;
    expect(Math.abs(sapDensityKgPerL({ brix, tempC: 20 }) - densityKgPerL)).toBeLessThan(0.00015);
  });

  // Computed from the same published formula by an independent program, kg/m3; holds the terms in temperature.
  it.each([
    [2, 0, 1007.84],
    [2, 4, 1007.91],
    [2, 15.56, 1006.82],
    [5, 0, 1020.05],
    [60, 4, 1293.94],
    [66.9, 0, 1337.8],
    [66.9, 15.56, 1330.44],
    [68, 4, 1342.87],
  ])("at %d Brix and %d C is %d kg/m3", (brix, tempC, densityKgPerM3) => {
    expect(sucroseDensityKgPerM3({ sugarFraction: brix / 100, tempC })).toBeCloseTo(
      densityKgPerM3,
      1,
    );
  });

  it("rises with sugar and falls with warmth above 4 C", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 69, noNaN: true }),
        fc.double({ min: 4, max: 79, noNaN: true }),
        (brix, tempC) => {
          const here = sapDensityKgPerL({ brix, tempC });
          expect(sapDensityKgPerL({ brix: brix + 1, tempC })).toBeGreaterThan(here);
          expect(sapDensityKgPerL({ brix, tempC: tempC + 1 })).toBeLessThan(here);
        },
      ),
    );
  });
});

describe("sap in a bucket", () => {
  it("weighs 1007.91 g a litre, and volume and mass go back and forth", () => {
    expect(gFromVolumeL(1)).toBeCloseTo(1007.91, 2);
    expect(volumeLFromG(gFromVolumeL(7.5))).toBeCloseTo(7.5, 12);
  });
});

describe("freezing point", () => {
  // CRC Handbook of Chemistry and Physics, 102nd ed. (2021).
  it.each([
    [0, 0],
    [1, -0.06],
    [2, -0.11],
    [3, -0.17],
    [4, -0.23],
    [5, -0.29],
    [10, -0.63],
  ])("at %d Brix is %d C", (brix, tempC) => {
    expect(sapFreezingPointC(brix)).toBeCloseTo(tempC, 12);
  });

  it("lies between its neighbours, keeps to the table's ends, and refuses what is no number", () => {
    expect(sapFreezingPointC(2.5)).toBeCloseTo(-0.14, 12);
    expect(sapFreezingPointC(-1)).toBeCloseTo(0, 12);
    expect(sapFreezingPointC(40)).toBeCloseTo(-0.63, 12);
    expect(() => sapFreezingPointC(Number.NaN)).toThrow(RangeError);
  });
});
