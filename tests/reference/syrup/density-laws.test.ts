// Density limits, solubility and further densities against the standards and printed tables.
import { expect, it } from "vitest";
import { sapDensityKgPerL } from "../../../shared/sap/density.ts";
import { densityLaws, densityVerdict } from "../../../shared/syrup/density-laws.ts";

// USDA, United States Standards for Grades of Maple Syrup (2015); Canada's grade standards; New York's, Vermont's and
// Maine's rules for maple syrup: percent of sugar by mass at 20 C.
it.each([
  ["usda", 66, 68.9],
  ["canada", 66, 68.9],
  ["new-york", 66, 68.9],
  ["vermont", 66.9, 68.9],
  ["maine", 66, 69],
])("%s takes syrup from %d to %d Brix, both limits among them", (key, lowest, highest) => {
  const law = densityLaws.find((each) => each.key === key)!;
  expect([law.lowestBrix, law.highestBrix]).toEqual([lowest, highest]);
  expect(densityVerdict(lowest - 0.01, law)).toBe("thin");
  expect(densityVerdict(lowest, law)).toBe("right");
  expect(densityVerdict(highest, law)).toBe("right");
  expect(densityVerdict(highest + 0.01, law)).toBe("thick");
});

it("specific gravity 20/20 at 50 Brix is within 0.0003 of the apparent 1.2317", () => {
  // U.S. National Bureau of Standards, Circular C440 (1942), table of apparent specific gravities; from memory.
  const gravity =
    sapDensityKgPerL({ brix: 50, tempC: 20 }) / sapDensityKgPerL({ brix: 0, tempC: 20 });
  expect(Math.abs(gravity - 1.2317)).toBeLessThan(0.0003);
});

// ICUMSA SPS-4 form (Bubnik et al. 1995), computed by an independent program, kg/m3 at 20 C.
it.each([
  [10, 1038.12],
  [50, 1229.65],
  [66.9, 1328.19],
])("%d Brix weigh %d kg/m3 at 20 C", (brix, kgPerM3) => {
  expect(1000 * sapDensityKgPerL({ brix, tempC: 20 })).toBeCloseTo(kgPerM3, 1);
});
