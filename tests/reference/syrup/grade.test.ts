// Colour classes and weight of bottled syrup against the standards.
import { expect, it } from "vitest";
import { sapDensityKgPerL } from "../../../shared/sap/density.ts";
import { cooledFraction } from "../../../shared/syrup/bottling.ts";
import { colourClass } from "../../../shared/syrup/grade.ts";
import { lFromUsGallons, poundsFromKg } from "../../../shared/units.ts";

// USDA, United States Standards for Grades of Maple Syrup (2015); Canada and New York the same.
it.each([
  [100, "golden"],
  [75, "golden"],
  [74.9, "amber"],
  [50, "amber"],
  [49.9, "dark"],
  [25, "dark"],
  [24.9, "very dark"],
  [0, "very dark"],
])("syrup that lets %d %% of the light through is %s", (transmissionPercent, colour) => {
  expect(colourClass(transmissionPercent)).toBe(colour);
});

// ICUMSA SPS-4 densities at 20 C; the trade says 11 lb a gallon.
it.each([
  [66, 1.3227, 11.04],
  [66.9, 1.3282, 11.08],
])("syrup of %d Brix weighs %d kg a litre and %d lb a gallon", (brix, kgPerL, poundsPerGallon) => {
  const densityKgPerL = sapDensityKgPerL({ brix, tempC: 20 });
  expect(densityKgPerL).toBeCloseTo(kgPerL, 4);
  expect(poundsFromKg(densityKgPerL * lFromUsGallons(1))).toBeCloseTo(poundsPerGallon, 2);
});

it("a bottle filled to the brim at 85 C stays over 90 % full when cold", () => {
  // Canadian Food Inspection Agency: at least 90 % full.
  const cold = cooledFraction({ brix: 66.9, tempC: 85 });
  expect(cold).toBeGreaterThan(0.95);
  expect(cold).toBeLessThan(0.98);
});
