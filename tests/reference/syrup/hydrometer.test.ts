// Hydrometer and refractometer against computed and printed tables.
import { expect, it } from "vitest";
import { baumeFromBrix, hydrometerReadingBrix } from "../../../shared/syrup/hydrometer.ts";
import { brixFromRefractometer } from "../../../shared/syrup/refractometer.ts";
import { cFromFahrenheit } from "./fahrenheit.ts";

// ICUMSA SPS-4 densities and glass of 25e-6 per C, marked at 60 F, computed by an independent program.
it.each([
  [211, 59.0, 58.1],
  [185, 60.5, 59.6],
  [158, 62.1, 61.2],
  [120, 64.1, 63.2],
  [80, 66.0, 65.1],
  [60, 66.9, 66.0],
])("at %d F syrup of 66.9 reads %d and of 66.0 reads %d", (tempF, reading669, reading66) => {
  const tempC = cFromFahrenheit(tempF);
  expect(Math.abs(hydrometerReadingBrix({ brix: 66.9, tempC }) - reading669)).toBeLessThan(0.051);
  expect(Math.abs(hydrometerReadingBrix({ brix: 66, tempC }) - reading66)).toBeLessThan(0.051);
});

it("66.9 Brix is 36 degrees Baume at 60 F", () => {
  // Common figure of the trade.
  expect(Math.abs(baumeFromBrix(66.9) - 36)).toBeLessThan(0.15);
});

// OIV-MA-AS2-02 (Oeno 21/2004), table I: correction by temperature and percent read.
it.each([
  [10, 10, -0.59],
  [10, 30, -0.68],
  [10, 65, -0.75],
  [12, 10, -0.49],
  [12, 50, -0.6],
  [13, 20, -0.45],
  [15, 10, -0.32],
  [15, 40, -0.37],
  [15, 70, -0.38],
  [17, 10, -0.2],
  [17, 60, -0.23],
])("at %d C and %d %% the correction is within 0.05 of %d", (tempC, readingBrix, correction) => {
  const corrected = brixFromRefractometer({ readingBrix, tempC });
  expect(Math.abs(corrected - readingBrix - correction)).toBeLessThan(0.05);
});

// Table A.1 of a Russian state standard, docs.cntd.ru/document/1200157922, at rows and columns between those kept.
it.each([
  [12, 5, -0.45],
  [13, 15, -0.44],
  [17, 25, -0.21],
  [18, 40, -0.15],
  [19, 60, -0.08],
  [21, 5, 0.07],
  [21, 40, 0.08],
])("at %d C and %d %% the correction is within 0.02 of %d", (tempC, readingBrix, correction) => {
  const corrected = brixFromRefractometer({ readingBrix, tempC });
  expect(Math.abs(corrected - readingBrix - correction)).toBeLessThan(0.02);
});

it("above 20 C a refractometer needs 0.06 to 0.085 Brix more for each degree", () => {
  // Common practice, no source: 0.06-0.08 Brix a degree.
  for (const readingBrix of [2, 12, 66]) {
    for (const tempC of [22, 25, 30]) {
      const added = brixFromRefractometer({ readingBrix, tempC }) - readingBrix;
      expect(added / (tempC - 20)).toBeGreaterThan(0.06);
      expect(added / (tempC - 20)).toBeLessThan(0.085);
    }
  }
});
