// Laws of the boiling point of water and of pressure by height.
import fc from "fast-check";
import { expect, it } from "vitest";
import { seaLevelPressurePa, stationPressurePa } from "../../../shared/syrup/station-pressure.ts";
import { waterBoilingPressurePa, waterBoilingTempC } from "../../../shared/syrup/water.ts";

it("pressure gives a temperature that gives the pressure back", () => {
  const anyPressure = fc.double({ min: 611.3, max: 22e6, noNaN: true });
  fc.assert(
    fc.property(anyPressure, (pressurePa) => {
      const back = waterBoilingPressurePa(waterBoilingTempC(pressurePa));
      expect(Math.abs(back / pressurePa - 1)).toBeLessThan(1e-9);
    }),
  );
});

it("more pressure boils hotter", () => {
  fc.assert(
    fc.property(fc.double({ min: 611, max: 2e7, noNaN: true }), (pressurePa) => {
      expect(waterBoilingTempC(pressurePa * 1.001)).toBeGreaterThan(waterBoilingTempC(pressurePa));
    }),
  );
});

it("both ends of the range are in it and what lies beyond is refused with the value", () => {
  expect(waterBoilingTempC(611)).toBeCloseTo(0, 2);
  expect(waterBoilingTempC(22.064e6)).toBeCloseTo(373.946, 2);
  expect(waterBoilingPressurePa(0)).toBeCloseTo(611.21, 1);
  expect(() => waterBoilingTempC(610)).toThrow("got 610");
  expect(() => waterBoilingTempC(22.1e6)).toThrow(RangeError);
  expect(() => waterBoilingTempC(Number.NaN)).toThrow(RangeError);
  expect(() => waterBoilingPressurePa(-1)).toThrow("got -1");
  expect(() => waterBoilingPressurePa(374)).toThrow(RangeError);
});

it("sea-level pressure goes up the hill and back, and falls on the way up", () => {
  const anyAltitude = fc.double({ min: -400, max: 4000, noNaN: true });
  const anyPressure = fc.double({ min: 95_000, max: 105_000, noNaN: true });
  fc.assert(
    fc.property(anyAltitude, anyPressure, (altitudeM, pressurePa) => {
      const up = stationPressurePa({ seaLevelPressurePa: pressurePa, altitudeM });
      const back = seaLevelPressurePa({ stationPressurePa: up, altitudeM });
      expect(back).toBeCloseTo(pressurePa, 6);
      expect(
        stationPressurePa({ seaLevelPressurePa: pressurePa, altitudeM: altitudeM + 1 }),
      ).toBeLessThan(up);
    }),
  );
});

it("a height or pressure that is none is refused", () => {
  expect(() => stationPressurePa({ seaLevelPressurePa: 101_325, altitudeM: 12_000 })).toThrow(
    "got 12000",
  );
  expect(() => stationPressurePa({ seaLevelPressurePa: 0, altitudeM: 100 })).toThrow("got 0");
  expect(() => seaLevelPressurePa({ stationPressurePa: Number.NaN, altitudeM: 100 })).toThrow(
    RangeError,
  );
});
