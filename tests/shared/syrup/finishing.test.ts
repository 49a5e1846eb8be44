// Finishing temperature on a person's own thermometer, and the laws of density.
import { expect, it } from "vitest";
import { densityLaws, densityVerdict } from "../../../shared/syrup/density-laws.ts";
import { finishingFromPressure, finishingOnThermometerC } from "../../../shared/syrup/finishing.ts";

it("a thermometer that reads low in water reads as low at the end", () => {
  const aim = { brix: 66.9, pressurePa: 100_000 };
  const { waterBoilingTempC, finishingTempC, riseC } = finishingFromPressure(aim);
  const onThermometerC = finishingOnThermometerC({
    ...aim,
    readingInWaterC: waterBoilingTempC - 0.8,
  });
  expect(onThermometerC).toBeCloseTo(finishingTempC - 0.8, 9);
  expect(waterBoilingTempC + riseC).toBeCloseTo(finishingTempC, 9);
});

it("a thermometer more than 3 C off is refused", () => {
  const aim = { brix: 66.9, pressurePa: 100_000 };
  expect(() => finishingOnThermometerC({ ...aim, readingInWaterC: 95 })).toThrow("got 95");
});

it("both limits of a law are right, beyond them syrup is thin or thick", () => {
  const vermont = densityLaws.find((law) => law.key === "vermont")!;
  expect(densityVerdict(66.8, vermont)).toBe("thin");
  expect(densityVerdict(66.9, vermont)).toBe("right");
  expect(densityVerdict(68.9, vermont)).toBe("right");
  expect(densityVerdict(69, vermont)).toBe("thick");
  expect(() => densityVerdict(Number.NaN, vermont)).toThrow(RangeError);
});
