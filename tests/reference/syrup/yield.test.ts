// Sap to syrup against published figures and the rules of the trade.
import { expect, it } from "vitest";
import { sapDensityKgPerL } from "../../../shared/sap/density.ts";
import {
  sapRules,
  sapVolumeByRule,
  sapVolumePerSyrupVolume,
  syrupFromSap,
} from "../../../shared/syrup/yield.ts";
import { lFromUsGallons, usGallonsFromL } from "../../../shared/units.ts";

// Masses over ICUMSA SPS-4 densities at 20 C, computed by an independent program.
it.each([
  [1, 86.26, 87.12, 88.67],
  [1.5, 57.39, 57.97, 59.0],
  [2, 42.96, 43.39, 44.17],
  [2.5, 34.3, 34.64, 35.26],
  [3, 28.53, 28.81, 29.33],
  [4, 21.31, 21.53, 21.91],
  [12, 6.88, 6.95, 7.08],
])("sap of %d Brix takes %d, %d and %d volumes to 65.5, 66.0 and 66.9", (sapBrix, ...volumes) => {
  const exact = [65.5, 66, 66.9].map((syrupBrix) =>
    sapVolumePerSyrupVolume({ sapBrix, syrupBrix }),
  );
  for (const [index, volume] of volumes.entries()) {
    expect(Math.abs(exact[index]! - volume)).toBeLessThan(0.006);
  }
});

// University of New Hampshire Cooperative Extension: gallons of sap to a gallon of syrup.
it.each([
  [2, 43],
  [2.5, 34.4],
  [3, 28.7],
])("the rule of 86 gives the published figure at %d %%", (sapBrix, volumes) => {
  expect(sapVolumeByRule(86, sapBrix)).toBeCloseTo(volumes, 1);
});

it.each(sapRules)(
  "the rule of $factor is within 1 % of the exact figure at 1 to 3 Brix",
  (rule) => {
    for (const sapBrix of [1, 1.5, 2, 2.5, 3]) {
      const exact = sapVolumePerSyrupVolume({ sapBrix, syrupBrix: rule.syrupBrix });
      expect(Math.abs(sapVolumeByRule(rule.factor, sapBrix) / exact - 1)).toBeLessThan(0.01);
    }
  },
);

function syrupUsGal(sapUsGal: number, sapBrix: number): number {
  const sapKg = lFromUsGallons(sapUsGal) * sapDensityKgPerL({ brix: sapBrix, tempC: 20 });
  return usGallonsFromL(syrupFromSap({ sapKg, sapBrix, syrupBrix: 66 }).syrupVolumeL);
}

it("43 gallons at 2 % make 0.991 gallons of 66.0", () => {
  // Mass balance at 20 C, computed by an independent program; the rule of 86 gives 1.00.
  expect(syrupUsGal(43, 2)).toBeCloseTo(0.991, 3);
});

it("a season of 1,485 gallons at 2.5 % and 2,160 at 2.0 % makes 92.65 gallons", () => {
  // 1485/34.64 + 2160/43.39 of the table above; the producer who gathered it bottled 91.6 gallons.
  const madeUsGal = syrupUsGal(1485, 2.5) + syrupUsGal(2160, 2);
  expect(madeUsGal).toBeCloseTo(92.65, 2);
  expect(Math.abs(madeUsGal / 91.6 - 1)).toBeLessThan(0.02);
});

it("100 kg at 2 Brix make 2.99 kg of 66.9 and give off 97.0 kg of water", () => {
  // Mass balance, computed by an independent program.
  const made = syrupFromSap({ sapKg: 100, sapBrix: 2, syrupBrix: 66.9 });
  expect(made.syrupKg).toBeCloseTo(2.99, 2);
  expect(made.waterKg).toBeCloseTo(97.01, 2);
});
