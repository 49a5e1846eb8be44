// Laws of hydrometer and refractometer readings.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  baumeFromBrix,
  brixFromHydrometer,
  hydrometerMarksC,
  hydrometerReadingBrix,
} from "../../../shared/syrup/hydrometer.ts";
import { brixFromRefractometer } from "../../../shared/syrup/refractometer.ts";

const anyTempC = fc.double({ min: 0, max: 100, noNaN: true });

it("the reading gives the Brix back at any temperature and marking", () => {
  const anyBrix = fc.double({ min: 15, max: 70, noNaN: true });
  const anyMark = fc.constantFrom(...Object.values(hydrometerMarksC));
  fc.assert(
    fc.property(anyBrix, anyTempC, anyMark, (brix, tempC, markedAtC) => {
      const readingBrix = hydrometerReadingBrix({ brix, tempC, markedAtC });
      expect(brixFromHydrometer({ readingBrix, tempC, markedAtC })).toBeCloseTo(brix, 6);
    }),
  );
});

it("hot syrup reads lower, and at the marked temperature it reads true", () => {
  fc.assert(
    fc.property(fc.double({ min: 5, max: 95, noNaN: true }), (tempC) => {
      const here = hydrometerReadingBrix({ brix: 66.9, tempC });
      expect(hydrometerReadingBrix({ brix: 66.9, tempC: tempC + 1 })).toBeLessThan(here);
    }),
  );
  expect(hydrometerReadingBrix({ brix: 2, tempC: 3.33, markedAtC: 3.33 })).toBeCloseTo(2, 9);
});

it("warm water floats a hydrometer below its zero, and a cold zero has no liquid", () => {
  expect(hydrometerReadingBrix({ brix: 0, tempC: 60 })).toBeCloseTo(0, 6);
  expect(brixFromHydrometer({ readingBrix: 0, tempC: 4 })).toBeUndefined();
  expect(brixFromHydrometer({ readingBrix: 75, tempC: 80 })).toBeUndefined();
});

it("a liquid outside the range is refused with the value", () => {
  expect(() => hydrometerReadingBrix({ brix: 80, tempC: 20 })).toThrow("got 80");
  expect(() => hydrometerReadingBrix({ brix: 66, tempC: 211 })).toThrow("got 211");
  expect(() => brixFromHydrometer({ readingBrix: 66, tempC: 20, markedAtC: 60 })).toThrow("got 60");
  expect(() => baumeFromBrix(-1)).toThrow("got -1");
  expect(() => brixFromRefractometer({ readingBrix: 2, tempC: 4 })).toThrow("got 4");
  expect(() => brixFromRefractometer({ readingBrix: 71, tempC: 20 })).toThrow("got 71");
});

it("a refractometer at 20 C reads true, a cold one high, a warm one low", () => {
  const anyReading = fc.double({ min: 1, max: 70, noNaN: true });
  fc.assert(
    fc.property(anyReading, (readingBrix) => {
      expect(brixFromRefractometer({ readingBrix, tempC: 20 })).toBeCloseTo(readingBrix, 12);
      expect(brixFromRefractometer({ readingBrix, tempC: 12 })).toBeLessThan(readingBrix);
      expect(brixFromRefractometer({ readingBrix, tempC: 28 })).toBeGreaterThan(readingBrix);
    }),
  );
  expect(brixFromRefractometer({ readingBrix: 0, tempC: 10 })).toBe(0);
});
