// The normal distribution against published values.
import { describe, expect, it } from "vitest";
import { normalBelow } from "../../../../server/domain/brim/normal.ts";

// Abramowitz & Stegun, Handbook of Mathematical Functions (1964), table 26.1.
const published = [
  [0, 0.5],
  [0.5, 0.6914625],
  [1, 0.8413447],
  [1.64, 0.9494974],
  [2, 0.9772499],
  [3, 0.9986501],
] as const;

describe("normal distribution", () => {
  it("agrees with the published table on both sides of zero", () => {
    for (const [z, below] of published) {
      expect(Math.abs(normalBelow(z) - below)).toBeLessThan(2e-7);
      expect(Math.abs(normalBelow(-z) - (1 - below))).toBeLessThan(2e-7);
    }
  });

  it("ends at 0 and 1", () => {
    expect(normalBelow(-40)).toBe(0);
    expect(normalBelow(40)).toBe(1);
    expect(normalBelow(Number.POSITIVE_INFINITY)).toBeCloseTo(1, 12);
  });
});
