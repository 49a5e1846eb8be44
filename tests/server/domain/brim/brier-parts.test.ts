// The parts that forecasts are scored by: Murphy's decomposition adds up to the Brier score.
import fc from "fast-check";
import { expect, it } from "vitest";
import { brierParts } from "../../../bench/accuracy/forecast-score.ts";

const pair = fc.record({
  said: fc.integer({ min: 0, max: 100 }).map((hundredths) => hundredths / 100),
  came: fc.constantFrom(0, 1),
});
const brierOf = (pairs: readonly { said: number; came: number }[]) =>
  pairs.reduce((sum, { said, came }) => sum + (said - came) ** 2, 0) / pairs.length;

it("reliability less resolution plus uncertainty is the Brier score (A. Murphy 1973)", () => {
  fc.assert(
    fc.property(fc.array(pair, { minLength: 1, maxLength: 200 }), (pairs) => {
      const { reliability, resolution, uncertainty } = brierParts(pairs);
      expect(reliability - resolution + uncertainty).toBeCloseTo(brierOf(pairs), 12);
      expect(Math.min(reliability, resolution, uncertainty)).toBeGreaterThanOrEqual(0);
      expect(resolution).toBeLessThanOrEqual(uncertainty + 1e-12);
    }),
  );
});

it("the base rate has neither fault nor merit, and knowing it all has every merit", () => {
  const cames = [1, 0, 0, 0];
  const base = brierParts(cames.map((came) => ({ said: 0.25, came })));
  expect(base).toEqual({ reliability: 0, resolution: 0, uncertainty: 0.1875 });
  const sure = brierParts(cames.map((came) => ({ said: came, came })));
  expect(sure).toEqual({ reliability: 0, resolution: 0.1875, uncertainty: 0.1875 });
});
