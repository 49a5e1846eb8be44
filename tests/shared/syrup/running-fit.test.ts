// What boils teach: a range that narrows and a middle that follows.
import fc from "fast-check";
import { expect, it } from "vitest";
import { firstFit, fitWith, rangeOfFit, studentT90 } from "../../../shared/syrup/running-fit.ts";

const anyRate = fc.double({ min: 5, max: 300, noNaN: true });

it("before the first boil the usual value stands in a wide range", () => {
  const range = rangeOfFit(firstFit(40.7, 0.07));
  expect(range.middle).toBeCloseTo(40.7, 9);
  expect(range.high / range.low).toBeGreaterThan(4);
});

it("the same boil again and again is learned, and the range narrows each time", () => {
  fc.assert(
    fc.property(anyRate, (rate) => {
      let fit = firstFit(40.7, 0.07);
      for (let boil = 0; boil < 12; boil += 1) fit = fitWith(fit, rate);
      const { middle, low, high } = rangeOfFit(fit);
      expect(Math.abs(Math.log(middle / rate))).toBeLessThan(0.02);
      expect(low).toBeLessThan(middle);
      expect(high).toBeGreaterThan(middle);
    }),
  );
  const [one, two, eight] = [1, 2, 8].map((boils) => {
    let fit = firstFit(40.7, 0.07);
    for (let boil = 0; boil < boils; boil += 1) fit = fitWith(fit, 41);
    const { low, high } = rangeOfFit(fit);
    return high / low;
  });
  expect(two!).toBeLessThan(one!);
  expect(eight!).toBeLessThan(two!);
});

it("the order of the boils doesn't matter", () => {
  fc.assert(
    fc.property(fc.array(anyRate, { minLength: 2, maxLength: 8 }), (rates) => {
      const fitOf = (list: number[]) => list.reduce(fitWith, firstFit(40.7, 0.07));
      const there = rangeOfFit(fitOf(rates));
      const back = rangeOfFit(fitOf(rates.toReversed()));
      expect(back.middle / there.middle).toBeCloseTo(1, 9);
      expect(back.high / there.high).toBeCloseTo(1, 9);
    }),
  );
});

it("about four of five further boils of a pan lie in the range", () => {
  // Boils of one invented pan, 60 mm/h and 15 % from boil to boil, by a fixed sequence.
  let state = 7;
  const uniform = () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  let inside = 0;
  const pans = 400;
  for (let pan = 0; pan < pans; pan += 1) {
    let fit = firstFit(40.7, 0.07);
    for (let boil = 0; boil < 5; boil += 1) fit = fitWith(fit, 60 * Math.exp(0.15 * normal()));
    const { low, high } = rangeOfFit(fit);
    const next = 60 * Math.exp(0.15 * normal());
    if (next >= low && next <= high) inside += 1;
  }
  expect(inside / pans).toBeGreaterThan(0.72);
  expect(inside / pans).toBeLessThan(0.9);
});

// Student's t, 90 % points: any printed table, here from memory.
it.each([
  [4, 1.533],
  [6, 1.44],
  [10, 1.372],
  [30, 1.31],
])("with %d degrees of freedom t is %d", (degrees, t) => {
  expect(Math.abs(studentT90(degrees) / t - 1)).toBeLessThan(0.004);
});

it("what can't be is refused with the value", () => {
  expect(() => firstFit(0, 1)).toThrow("got 0");
  expect(() => fitWith(firstFit(1, 1), -3)).toThrow("got -3");
});
