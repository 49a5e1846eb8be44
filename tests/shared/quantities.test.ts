// What people type for a quantity, read and written back.
//
// Published: US gallon 231 in3 = 3.785411784 L, inch 25.4 mm, pound 0.45359237 kg, inch of mercury 3386.389 Pa (NIST SP
// 811, appendix B); cord 128 ft3 (NIST Handbook 130).
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isPlainNumber, parseQuantity } from "../../shared/parse-quantity.ts";
import {
  convertedValue,
  fieldFigure,
  formatQuantity,
  type Quantity,
  quantities,
  shownUnit,
} from "../../shared/quantities.ts";
import { quantityUnits, unitNamed } from "../../shared/quantity-units.ts";
import type { Units } from "../../shared/wire/api.ts";

const all = Object.entries<Quantity>(quantities);

function readValue(text: string, of: Quantity, units: Units = "metric"): number {
  const read = parseQuantity(text, of, units);
  if (!read.ok) throw new Error(read.problem);
  return read.value;
}

function problemOf(text: string, of: Quantity, units: Units = "metric"): string {
  const read = parseQuantity(text, of, units);
  return read.ok ? `no problem: ${read.value}` : read.problem;
}

const written: [string, Quantity, number][] = [
  ["18 in", quantities.girthCm, 45.72],
  ["46cm", quantities.girthCm, 46],
  ['57"', quantities.girthCm, 144.78],
  ["4 ft 9 in", quantities.girthCm, 144.78],
  ["4' 9\"", quantities.girthCm, 144.78],
  ["4'9 1/2\"", quantities.girthCm, 146.05],
  ["1.45 m", quantities.girthCm, 145],
  ["7 1/2 gal", quantities.capacityL, 28.39058838],
  ["7½ gal", quantities.capacityL, 28.39058838],
  ["7-1/2 gallons", quantities.capacityL, 28.39058838],
  ["1 gal 2 qt", quantities.gatheredL, 5.678117676],
  ["1 gal, 2 qt and 1 pt", quantities.gatheredL, 6.151294149],
  ["13 qt", quantities.capacityL, 12.302588298],
  ["8 fl. oz", quantities.bottleL, 0.2365882365],
  ["3/8 in", quantities.bitMm, 9.525],
  ["5/16", { ...quantities.bitMm, metric: "in" }, 7.9375],
  ["12 lb", quantities.loadKg, 5.44310844],
  ["12 lbs. 8 oz", quantities.loadKg, 5.669904625],
  ["-4 C", quantities.airTempC, -4],
  ["−4 °C", quantities.airTempC, -4],
  ["-4°", quantities.airTempC, -4],
  ["25 F", quantities.airTempC, -3.888888889],
  ["219.5 °F", quantities.panTempC, 104.1666667],
  ["1 h 30 min", quantities.spanMin, 90],
  ["1.5 hours", quantities.spanMin, 90],
  ["2 days", quantities.spanH, 48],
  ["29.8 inHg", quantities.pressurePa, 100_914.3922],
  ["1009,1 hPa", quantities.pressurePa, 100_910],
  ["7,5", quantities.capacityL, 7.5],
  [".5 gal", quantities.gatheredL, 1.892705892],
  ["1485.5", quantities.sapL, 1485.5],
  ["2.4 Brix", quantities.sapBrix, 2.4],
  ["2,4 %", quantities.sapBrix, 2.4],
  ["4 sq ft", quantities.panAreaM2, 0.37161216],
  ["4 ft2", quantities.panAreaM2, 0.37161216],
  ["1/2 cord", quantities.woodM3, 1.812278182],
  ["44.5°", quantities.latitude, 44.5],
];

it.each(written)("%s is read", (text, of, value) => {
  expect(readValue(text, of)).toBeCloseTo(value, 6);
});

it("a plain number is in the browser’s unit", () => {
  expect(readValue("18", quantities.girthCm, "us")).toBeCloseTo(45.72, 9);
  expect(readValue("18", quantities.girthCm, "metric")).toBe(18);
  expect(readValue("25", quantities.airTempC, "us")).toBeCloseTo(-3.8889, 4);
  expect(isPlainNumber("18")).toBe(true);
  expect(isPlainNumber("-7 1/2")).toBe(true);
  expect(isPlainNumber("18 cm")).toBe(false);
});

describe("what is wrong is told in plain words", () => {
  const { girthCm } = quantities;
  it.each([
    ["", "us", "Missing: write a girth like 57.1 in or 145 cm"],
    ["thick", "metric", "“thick” is no figure: write a girth like 145 cm or 57.1 in"],
    ["3 gal", "us", "“gal” measures a volume: write a girth like 57.1 in or 145 cm"],
    ["3 ells", "us", "“ells” is no unit known here: write a girth like 57.1 in or 145 cm"],
    ["1 in 2 ft", "us", "Several figures don’t make one: write a girth like 57.1 in or 145 cm"],
    ["4 ft 9", "us", "A figure has no unit: write a girth like 57.1 in or 145 cm"],
    ["3 cm", "metric", "“3 cm” can’t be right: a girth is 10 cm to 800 cm"],
    ["3 cm", "us", "“3 cm” can’t be right: a girth is 3.94 in to 315 in"],
    ["-57 in", "us", "“-57 in” can’t be right: a girth is 3.94 in to 315 in"],
  ] as const)("%j in %s", (text, units, problem) => {
    expect(problemOf(text, girthCm, units)).toBe(problem);
  });

  it.each(["1,485 gal", "1,485.5 gal", "1.485,5"])("%s could be read in two ways", (text) => {
    expect(problemOf(text, quantities.sapL)).toContain("thousands mark");
  });

  it.each(["1/0 in", "1 2 in", "1..2", "e3", "0x10", "NaN", "1/2/3"])("%s is refused", (text) => {
    expect(parseQuantity(text, quantities.bitMm, "metric").ok).toBe(false);
  });
});

it.each(all)("%s has a range in order with its usual value inside", (_, of) => {
  expect(of.least).toBeLessThan(of.usual);
  expect(of.usual).toBeLessThan(of.most);
});

it.each(all)("the bounds of %s are read back as they are shown, in both units", (_, of) => {
  for (const units of ["us", "metric"] as const) {
    for (const bound of [of.least, of.most]) {
      const text = formatQuantity(bound, of, units);
      expect(problemOf(text, of, units)).toMatch(/^no problem/);
    }
  }
});

const someQuantity = fc.constantFrom(...all.map(([, of]) => of));
const someUnits = fc.constantFrom<Units>("us", "metric");

it("what is shown reads back as the same value, to half of its last figure", () => {
  fc.assert(
    fc.property(
      someQuantity,
      someUnits,
      fc.double({ min: 0, max: 1, noNaN: true }),
      (of, units, at) => {
        const value = of.least + (of.most - of.least) * at;
        const unit = shownUnit(of, units);
        const shown = convertedValue(value, quantityUnits[of.kept], unit);
        const half =
          (0.5 * 10 ** (Math.floor(Math.log10(Math.abs(shown) || 1e-9)) + 1)) /
          10 ** (of.figures ?? 4);
        const slack = (half * unit.factor) / quantityUnits[of.kept].factor + 1e-9;
        for (const text of [formatQuantity(value, of, units), fieldFigure(value, of, units)]) {
          if (/,|e/.test(text)) continue;
          expect(Math.abs(readValue(text, of, units) - value)).toBeLessThanOrEqual(slack * 1.0001);
        }
      },
    ),
  );
});

it("a decimal comma reads as a decimal point, but for what could be thousands", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 10, max: 800 }),
      fc.integer({ min: 0, max: 99 }),
      (whole, part) => {
        const [comma, point] = [`${whole},${part} cm`, `${whole}.${part} cm`];
        expect(parseQuantity(comma, quantities.girthCm, "us")).toEqual(
          parseQuantity(point, quantities.girthCm, "us"),
        );
      },
    ),
  );
});

it.each([
  ["18 in x 24 in", "us", 0.2787],
  ["18 x 24 in", "metric", 0.2787],
  ["18 × 24", "us", 0.2787],
  ["60x90 cm", "us", 0.54],
  ["2 ft x 3 ft", "metric", 0.5574],
] as const)("a pan's area may be written as its two sides: %s", (text, units, areaM2) => {
  const read = parseQuantity(text, quantities.panAreaM2, units);
  expect(read.ok && read.value).toBeCloseTo(areaM2, 3);
});

it("sides that can't be are refused by what is wrong with them", () => {
  const problemOf = (text: string) => {
    const read = parseQuantity(text, quantities.panAreaM2, "us");
    return read.ok ? "" : read.problem;
  };
  expect(problemOf("18 in x 24 gal")).toContain("measures");
  expect(problemOf("18 in x 2400 in")).toContain("a side is");
  expect(parseQuantity("18 in x 24 in", quantities.girthCm, "us").ok).toBe(false);
});

it("no text whatever throws, and what is read is within the range", () => {
  fc.assert(
    fc.property(someQuantity, someUnits, fc.string({ unit: "grapheme" }), (of, units, text) => {
      const read = parseQuantity(text, of, units);
      if (!read.ok) expect(read.problem).not.toBe("");
      else {
        expect(read.value).toBeGreaterThanOrEqual(of.least);
        expect(read.value).toBeLessThanOrEqual(of.most);
      }
    }),
    { numRuns: 500 },
  );
});

it("every unit is known by all of its names", () => {
  for (const unit of Object.values(quantityUnits)) {
    for (const name of [unit.symbol, ...unit.names]) {
      expect(unitNamed(name, unit.kind)?.factor, name).toBe(unit.factor);
    }
  }
});
