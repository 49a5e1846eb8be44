// Laws of heat, hours, fuel and start of a boil.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  boilHours,
  boilNeed,
  evaporationMmPerHFromBoil,
  panHeatKwPerM2,
  steamHeatMjPerKg,
} from "../../../shared/syrup/boil.ts";
import {
  electricityKwhForBoil,
  propaneForBoil,
  usualEfficiency,
  woodForBoil,
  woodHeatMjPerKg,
} from "../../../shared/syrup/fuel.ts";
import { startTime } from "../../../shared/syrup/start-time.ts";
import { msPerHour } from "../../../shared/units.ts";

const boil = { sapKg: 100, sapBrix: 2, tempC: 4, syrupBrix: 66.9, pressurePa: 101_325 };

it("heat is never less than the steam takes, and grows with sap and cold", () => {
  const anyKg = fc.double({ min: 1, max: 2000, noNaN: true });
  const anyTempC = fc.double({ min: 1, max: 90, noNaN: true });
  fc.assert(
    fc.property(anyKg, anyTempC, (sapKg, tempC) => {
      const need = boilNeed({ ...boil, sapKg, tempC });
      expect(need.energyMj).toBeGreaterThan(need.waterKg * steamHeatMjPerKg(100));
      expect(need.heatingMj + need.steamMj).toBeCloseTo(need.energyMj, 9);
      expect(need.syrupKg + need.waterKg).toBeCloseTo(sapKg, 8);
      expect(boilNeed({ ...boil, sapKg, tempC: tempC - 1 }).energyMj).toBeGreaterThan(
        need.energyMj,
      );
    }),
  );
});

it("a pan's own rate from one boil foretells that boil's hours", () => {
  const anyAmount = fc.double({ min: 0.1, max: 500, noNaN: true });
  fc.assert(
    fc.property(anyAmount, anyAmount, anyAmount, (waterKg, panAreaM2, hours) => {
      const evaporationMmPerH = evaporationMmPerHFromBoil({ waterKg, panAreaM2, hours });
      expect(boilHours({ waterKg, panAreaM2, evaporationMmPerH }) / hours).toBeCloseTo(1, 9);
    }),
  );
});

it("wetter wood gives less heat, and light wood takes more room", () => {
  const fire = { energyMj: 259, efficiency: usualEfficiency.openFire, moistureFraction: 0.2 };
  const maple = woodForBoil({ ...fire, species: "sugarMaple" });
  const pine = woodForBoil({ ...fire, species: "whitePine" });
  expect(woodHeatMjPerKg(0.45)).toBeLessThan(woodHeatMjPerKg(0.2));
  expect(pine.woodKg).toBe(maple.woodKg);
  expect(pine.stackedM3 / maple.stackedM3).toBeCloseTo(560 / 340, 9);
});

it("propane and electricity carry the same heat", () => {
  const { propaneKg, propaneVolumeL } = propaneForBoil({ energyMj: 46.4, efficiency: 0.5 });
  expect(propaneKg).toBeCloseTo(2, 12);
  expect(propaneVolumeL).toBeCloseTo(2 / 0.51, 12);
  expect(electricityKwhForBoil({ energyMj: 36, efficiency: 1 })).toBeCloseTo(10, 12);
});

it("what can't be is refused with the value", () => {
  expect(() => boilNeed({ ...boil, tempC: -3 })).toThrow("got -3");
  expect(() => boilNeed({ ...boil, tempC: 101 })).toThrow("got 101");
  expect(() => boilHours({ waterKg: -1, panAreaM2: 1 })).toThrow("got -1");
  expect(() => boilHours({ waterKg: 1, panAreaM2: 0 })).toThrow("got 0");
  expect(() => evaporationMmPerHFromBoil({ waterKg: 1, panAreaM2: 1, hours: 0 })).toThrow("got 0");
  expect(() => panHeatKwPerM2({ evaporationMmPerH: 0, boilingTempC: 100 })).toThrow("got 0");
  expect(() => woodHeatMjPerKg(0.7)).toThrow("got 0.7");
  expect(() => propaneForBoil({ energyMj: -5, efficiency: 0.4 })).toThrow("got -5");
  expect(() => electricityKwhForBoil({ energyMj: 5, efficiency: 1.2 })).toThrow("got 1.2");
});

it("the fire is lit in time for whichever comes first, and lateness is told", () => {
  const nowMs = 1_000_000_000;
  const boilByMs = nowMs + 10 * msPerHour;
  const doneByMs = nowMs + 5 * msPerHour;
  expect(startTime({ hours: 3, nowMs, boilByMs, doneByMs })).toEqual({
    startByMs: nowMs + 2 * msPerHour,
    because: "person",
    lateMs: 0,
  });
  expect(startTime({ hours: 12, nowMs, boilByMs })).toEqual({
    startByMs: nowMs - 2 * msPerHour,
    because: "sap",
    lateMs: 2 * msPerHour,
  });
  expect(startTime({ hours: 3, nowMs })).toBeUndefined();
  expect(() => startTime({ hours: Number.NaN, nowMs })).toThrow(RangeError);
});
