// Laws of distances between holes and of their age.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  holeAge,
  holesTooNear,
  holeZoneKeys,
  holeZones,
  sidewaysDistanceCm,
  zoneOf,
} from "../../../shared/trees/hole.ts";
import { msPerDay } from "../../../shared/units.ts";

it("the way around a trunk is the shorter one, and the same from either side", () => {
  const anyPlace = fc.record({
    aroundCm: fc.double({ min: 0, max: 300, noNaN: true }),
    heightCm: fc.constant(100),
  });
  fc.assert(
    fc.property(anyPlace, anyPlace, (one, other) => {
      const apartCm = sidewaysDistanceCm(one, other, { girthCm: 150 });
      expect(apartCm).toBeLessThanOrEqual(75);
      expect(apartCm).toBeGreaterThanOrEqual(0);
      expect(sidewaysDistanceCm(other, one, { girthCm: 150 })).toBe(apartCm);
    }),
  );
});

it("a hole just across the mark is near, though the numbers are far apart", () => {
  const oldHoles = [
    { aroundCm: 149, heightCm: 90 },
    { aroundCm: 75, heightCm: 90 },
  ];
  const tree = { oldHoles, girthCm: 150, zone: holeZones[0] };
  expect(holesTooNear({ aroundCm: 1, heightCm: 100 }, tree)).toEqual([oldHoles[0]]);
});

it.each([
  [0, "fresh"],
  [27.9, "fresh"],
  [28, "ageing"],
  [42, "ageing"],
  [42.1, "past its time"],
])("a hole %d days old is %s", (ageDays, stage) => {
  const drilledAtMs = 1_700_000_000_000;
  const age = holeAge({ drilledAtMs, nowMs: drilledAtMs + ageDays * msPerDay });
  expect(age.stage).toBe(stage);
  expect(age.ageDays).toBeCloseTo(ageDays, 6);
});

it("a trunk of no girth and a hole of tomorrow are refused with the value", () => {
  const place = { aroundCm: 0, heightCm: 90 };
  expect(() => sidewaysDistanceCm(place, place, { girthCm: 0 })).toThrow("got 0");
  expect(() => holeAge({ drilledAtMs: msPerDay, nowMs: 0 })).toThrow("got -1 days");
});

it("every key names its zone", () => {
  expect(holeZoneKeys.map((key) => zoneOf(key))).toEqual(holeZones);
});
