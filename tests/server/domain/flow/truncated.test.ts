// The mean of a flow that is known not to be negative.
import { describe, expect, it } from "vitest";
import { meanIfNotNegative } from "../../../../server/domain/flow/truncated.ts";

describe("the mean of a Gaussian that is not negative", () => {
  // Density over upper tail of the standard Gaussian, from tables of both (Abramowitz & Stegun, tables 26.1 and 26.2):
  // 0.3989423/0.5, 0.2419707/0.1586553, 0.0539910/0.0227501, 0.2419707/0.8413447.
  it.each([
    [0, 0.7978846],
    [-1, 0.5251353],
    [-2, 0.3732155],
    [1, 1.2875999],
  ])("with mean %d and deviation 1 is %d", (mean, expected) => {
    expect(meanIfNotNegative(mean, 1)).toBeCloseTo(expected, 4);
  });

  it("is the mean itself far above nothing, and sd/|a| far below", () => {
    expect(meanIfNotNegative(500, 10)).toBeCloseTo(500, 9);
    expect(meanIfNotNegative(-60, 1) * 60).toBeCloseTo(1, 2);
  });

  it("goes on smoothly where the continued fraction takes over", () => {
    expect(meanIfNotNegative(-4.9999, 1)).toBeCloseTo(meanIfNotNegative(-5.0001, 1), 4);
  });
});
