// Laws of girth, taps and holes.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  diameterCmFromGirth,
  girthCmFromDiameter,
  looksHalved,
} from "../../../shared/trees/girth.ts";
import { tapGuidelines, tapsUnderGuideline } from "../../../shared/trees/guidelines.ts";
import {
  holeAge,
  holesTooNear,
  holeZones,
  sidewaysDistanceCm,
} from "../../../shared/trees/hole.ts";
import { msPerDay } from "../../../shared/units.ts";

const anyGirthCm = fc.double({ min: 5, max: 1400, noNaN: true });

it("girth gives a diameter that gives the girth back", () => {
  fc.assert(
    fc.property(anyGirthCm, (girthCm) => {
      const back = girthCmFromDiameter(diameterCmFromGirth(girthCm) * 1.0000001);
      expect(back / girthCm).toBeCloseTo(1, 6);
    }),
  );
});

it("half a girth is told from a true diameter", () => {
  fc.assert(
    fc.property(anyGirthCm, (girthCm) => {
      expect(looksHalved({ girthCm, diameterCm: girthCm / 2 })).toBe(true);
      expect(looksHalved({ girthCm, diameterCm: diameterCmFromGirth(girthCm) })).toBe(false);
    }),
  );
  expect(looksHalved({ girthCm: 79.8, diameterCm: 25.4 })).toBe(false);
});

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

it("what can't be is refused with the value", () => {
  expect(() => diameterCmFromGirth(4)).toThrow("got 4");
  expect(() => diameterCmFromGirth(Number.NaN)).toThrow(RangeError);
  expect(() => girthCmFromDiameter(1)).toThrow(RangeError);
  expect(() => tapsUnderGuideline(-1, tapGuidelines[0])).toThrow("got -1");
  const place = { aroundCm: 0, heightCm: 90 };
  expect(() => sidewaysDistanceCm(place, place, { girthCm: 0 })).toThrow("got 0");
  expect(() => holeAge({ drilledAtMs: msPerDay, nowMs: 0 })).toThrow("got -1 days");
});
