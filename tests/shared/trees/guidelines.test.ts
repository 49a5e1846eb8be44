// Laws of the guidelines for taps.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  guidelineOf,
  tapGuidelineKeys,
  tapGuidelines,
  tapsUnderGuideline,
} from "../../../shared/trees/guidelines.ts";

it("a thicker tree never takes fewer taps, and the default is never above the older guideline", () => {
  const [careful] = tapGuidelines;
  const older = tapGuidelines.find((guideline) => guideline.key === "older")!;
  fc.assert(
    fc.property(fc.double({ min: 0, max: 400, noNaN: true }), (diameterCm) => {
      for (const guideline of tapGuidelines) {
        expect(tapsUnderGuideline(diameterCm + 1, guideline)).toBeGreaterThanOrEqual(
          tapsUnderGuideline(diameterCm, guideline),
        );
      }
      expect(tapsUnderGuideline(diameterCm, careful)).toBeLessThanOrEqual(
        tapsUnderGuideline(diameterCm, older),
      );
    }),
  );
});

it("a diameter no tree has is refused with the value", () => {
  expect(() => tapsUnderGuideline(-1, tapGuidelines[0])).toThrow("got -1");
  expect(() => tapsUnderGuideline(Number.NaN, tapGuidelines[0])).toThrow(RangeError);
});

it("every key names its guideline", () => {
  expect(tapGuidelineKeys.map((key) => guidelineOf(key))).toEqual(tapGuidelines);
});
