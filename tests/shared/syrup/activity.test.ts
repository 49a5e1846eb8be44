// Laws of water activity, boiling rise and Brix in the pan.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  boilingRiseC,
  brixInPan,
  sapBoilingTempC,
  waterActivity,
} from "../../../shared/syrup/activity.ts";
import { waterBoilingTempC } from "../../../shared/syrup/water.ts";

const anyBrix = fc.double({ min: 0, max: 90, noNaN: true });
const anyPressurePa = fc.double({ min: 30_000, max: 120_000, noNaN: true });

it("more sugar leaves less vapour and boils hotter", () => {
  fc.assert(
    fc.property(anyBrix, anyPressurePa, (brix, pressurePa) => {
      expect(waterActivity({ brix: brix + 1, tempC: 100 })).toBeLessThan(
        waterActivity({ brix, tempC: 100 }),
      );
      expect(boilingRiseC({ brix: brix + 1, pressurePa })).toBeGreaterThan(
        boilingRiseC({ brix, pressurePa }),
      );
    }),
  );
});

it("the temperature of a boiling pan gives its Brix back", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 1, max: 91.9, noNaN: true }),
      anyPressurePa,
      (brix, pressurePa) => {
        const tempC = sapBoilingTempC({ brix, pressurePa });
        expect(brixInPan({ tempC, pressurePa })).toBeCloseTo(brix, 5);
      },
    ),
  );
});

it("a pan below the boiling point of water has no Brix, and one far above has the most", () => {
  const pressurePa = 100_000;
  expect(brixInPan({ tempC: 99, pressurePa })).toBeUndefined();
  expect(brixInPan({ tempC: waterBoilingTempC(pressurePa), pressurePa })).toBeCloseTo(0, 3);
  expect(brixInPan({ tempC: 200, pressurePa })).toBeCloseTo(92, 6);
});

it("pure water has the activity 1 and no rise", () => {
  expect(waterActivity({ brix: 0, tempC: 100 })).toBe(1);
  expect(boilingRiseC({ brix: 0, pressurePa: 101_325 })).toBeCloseTo(0, 9);
});

it("what lies outside the range is refused with the value", () => {
  expect(() => waterActivity({ brix: 93, tempC: 100 })).toThrow("got 93");
  expect(() => waterActivity({ brix: -1, tempC: 100 })).toThrow("got -1");
  expect(() => waterActivity({ brix: 66, tempC: -300 })).toThrow("got -300");
  expect(() => sapBoilingTempC({ brix: 66, pressurePa: 1013 })).toThrow("got 1013");
  expect(() => brixInPan({ tempC: 104, pressurePa: 1013 })).toThrow("got 1013");
  expect(() => brixInPan({ tempC: Number.NaN, pressurePa: 101_325 })).toThrow(RangeError);
});
