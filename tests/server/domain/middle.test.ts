// The middle of some figures.
import { describe, expect, it } from "vitest";
import { mean, median } from "../../../server/domain/middle.ts";

describe("the median", () => {
  it("is the middle one, or between the two in the middle", () => {
    expect(median([3, 1, 2])).toBe(2);
    expect(median([4, 1, 2, 3])).toBe(2.5);
    expect(median([])).toBeNaN();
  });
});

describe("the mean", () => {
  it("is the sum over the count, and none of nothing", () => {
    expect(mean([4, 1, 1])).toBe(2);
    expect(mean([])).toBeNaN();
  });
});
