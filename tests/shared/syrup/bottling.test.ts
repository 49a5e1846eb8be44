// Filling temperatures, numbers of bottles, and colours refused.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  bottlesFromSyrup,
  bottlesOfSizes,
  cooledFraction,
  fillingVerdict,
} from "../../../shared/syrup/bottling.ts";
import { colourClass } from "../../../shared/syrup/grade.ts";

it.each([
  [81.9, "too cold"],
  [82, "cooling"],
  [84.9, "cooling"],
  [85, "right"],
  [87, "right"],
  [87.1, "hot"],
])("syrup at %d C is %s to fill", (tempC, verdict) => {
  expect(fillingVerdict(tempC)).toBe(verdict);
});

it("bottles and the rest hold all the syrup, and the rest fills no bottle", () => {
  const anyVolumeL = fc.double({ min: 0, max: 200, noNaN: true });
  const anyBottleL = fc.constantFrom(0.05, 0.25, 0.5, 1, 3.785411784);
  const anyFill = fc.double({ min: 0.9, max: 1, noNaN: true });
  fc.assert(
    fc.property(anyVolumeL, anyBottleL, anyFill, (syrupVolumeL, bottleVolumeL, fillFraction) => {
      const filled = bottlesFromSyrup({ syrupVolumeL, bottleVolumeL, fillFraction });
      const eachL = bottleVolumeL * fillFraction;
      expect(filled.bottles * eachL + filled.leftL).toBeCloseTo(syrupVolumeL, 6);
      expect(filled.leftL).toBeLessThan(eachL);
    }),
  );
});

it("several sizes hold all the syrup with the rest, the largest first", () => {
  const anySize = fc.constantFrom(0.05, 0.1, 0.25, 0.5, 1, 3.785411784);
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 50, noNaN: true }),
      fc.uniqueArray(anySize, { minLength: 1, maxLength: 3 }),
      (syrupVolumeL, sizesL) => {
        const { bottles, leftL } = bottlesOfSizes({ syrupVolumeL, sizesL, fillFraction: 1 });
        const heldL = bottles.reduce((sum, { volumeL, count }) => sum + volumeL * count, 0);
        expect(heldL + leftL).toBeCloseTo(syrupVolumeL, 6);
        expect(leftL).toBeLessThan(Math.min(...sizesL));
        const sizes = bottles.map(({ volumeL }) => volumeL);
        expect(sizes).toEqual(sizes.toSorted((one, other) => other - one));
      },
    ),
  );
});

it("a volume that divides evenly leaves nothing", () => {
  const filled = bottlesFromSyrup({ syrupVolumeL: 0.3, bottleVolumeL: 0.1, fillFraction: 1 });
  expect(filled.bottles).toBe(3);
  expect(filled.leftL).toBeCloseTo(0, 12);
});

it("hotter syrup shrinks more", () => {
  fc.assert(
    fc.property(fc.double({ min: 20, max: 100, noNaN: true }), (tempC) => {
      const here = cooledFraction({ brix: 66.9, tempC });
      expect(cooledFraction({ brix: 66.9, tempC: tempC + 1 })).toBeLessThan(here);
    }),
  );
});

it("what can't be is refused with the value", () => {
  const filling = { syrupVolumeL: 2, bottleVolumeL: 0.5, fillFraction: 1 };
  expect(() => bottlesFromSyrup({ ...filling, syrupVolumeL: -2 })).toThrow("got -2");
  expect(() => bottlesFromSyrup({ ...filling, bottleVolumeL: 0 })).toThrow("into 0 L");
  expect(() => bottlesFromSyrup({ ...filling, fillFraction: 0.5 })).toThrow("got 0.5");
  expect(() => fillingVerdict(185)).toThrow("got 185");
  expect(() => cooledFraction({ brix: 66, tempC: -1 })).toThrow("got -1");
  expect(() => colourClass(-0.1)).toThrow("got -0.1");
  expect(() => colourClass(101)).toThrow("got 101");
  expect(() => colourClass(Number.NaN)).toThrow(RangeError);
});
