// Boiling rise and finishing temperature against published and computed figures.
import { expect, it } from "vitest";
import { boilingRiseC, brixInPan, sapBoilingTempC } from "../../../shared/syrup/activity.ts";
import { finishingFromPressure } from "../../../shared/syrup/finishing.ts";

const oneAtmospherePa = 101_325;

// Starzak & Peacock 1997 over IAPWS-IF97, computed by an independent program.
it.each([
  [2, 0.03],
  [10, 0.169],
  [20, 0.393],
  [30, 0.702],
  [40, 1.146],
  [50, 1.823],
  [60, 2.938],
  [65, 3.792],
  [66, 3.999],
  [66.9, 4.198],
  [68, 4.459],
  [68.9, 4.688],
  [70, 4.989],
  [75, 6.742],
  [80, 9.464],
  [85, 14.02],
])("%d Brix boils %d C above water at one atmosphere", (brix, riseC) => {
  const computedC = boilingRiseC({ brix, pressurePa: oneAtmospherePa });
  expect(Math.abs(computedC - riseC)).toBeLessThan(brix === 85 ? 0.006 : 0.0011);
});

it("thin air lowers the rise at 66.9 Brix to 4.125 C at 900 hPa", () => {
  // Starzak & Peacock 1997, computed by an independent program.
  expect(boilingRiseC({ brix: 66.9, pressurePa: 90_000 })).toBeCloseTo(4.125, 2);
});

it("66 Brix lies within 0.1 F of the 7.1 F of the trade", () => {
  // 7.1 F above boiling water: common figure of maple extension texts.
  expect(
    Math.abs(boilingRiseC({ brix: 66, pressurePa: oneAtmospherePa }) * 1.8 - 7.1),
  ).toBeLessThan(0.15);
});

it("67 Brix lies within 0.05 C of 4.2 C", () => {
  // Ontario Ministry of Agriculture, Food and Rural Affairs, "Maple Syrup: Best Production Practices".
  const riseC = boilingRiseC({ brix: 67, pressurePa: oneAtmospherePa });
  expect(Math.abs(riseC - 4.2)).toBeLessThan(0.05);
});

it("at 100 kPa syrup of 66.9 Brix is ready at 103.80 C", () => {
  // 99.606 C (IAPWS-IF97) + 4.19 C (Starzak & Peacock 1997).
  const finishing = finishingFromPressure({ brix: 66.9, pressurePa: 100_000 });
  expect(finishing.finishingTempC).toBeCloseTo(103.8, 2);
  expect(finishing.waterBoilingTempC).toBeCloseTo(99.606, 3);
});

it("a degree is 4.4 to 4.8 Brix near 66, and a hectopascal 0.028 C", () => {
  // Slopes of the same formulas, computed by an independent program: 4.6 Brix/C, 0.028 C/hPa.
  const finishing = finishingFromPressure({ brix: 66, pressurePa: oneAtmospherePa });
  expect(Math.abs(finishing.brixPerC - 4.6)).toBeLessThan(0.2);
  expect(Math.abs(finishing.cPerHpa - 0.028)).toBeLessThan(0.001);
});

it("a pan at 103.80 C under 100 kPa holds 66.9 Brix", () => {
  expect(brixInPan({ tempC: 103.8, pressurePa: 100_000 })).toBeCloseTo(66.9, 1);
  expect(sapBoilingTempC({ brix: 0, pressurePa: 100_000 })).toBeCloseTo(99.606, 3);
});
