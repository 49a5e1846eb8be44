// The next good spot on a trunk is never too near an old hole.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  type HolePlace,
  holesTooNear,
  holeZones,
  sidewaysDistanceCm,
} from "../../../shared/trees/hole.ts";
import { nextSpot, spotHeightsCm } from "../../../shared/trees/next-spot.ts";

const [zone] = holeZones;
const someHole = fc.record({
  aroundCm: fc.double({ min: 0, max: 200, noNaN: true }),
  heightCm: fc.double({ min: 40, max: 160, noNaN: true }),
});
const someTrunk = fc.record({
  girthCm: fc.double({ min: 60, max: 200, noNaN: true }),
  oldHoles: fc.array(someHole, { maxLength: 12 }),
  zone: fc.constantFrom(...holeZones),
});

it("a trunk without holes is bored at the usual height, on the far side of the mark", () => {
  expect(nextSpot({ girthCm: 144.8, oldHoles: [], zone })).toEqual({ aroundCm: 72, heightCm: 100 });
});

it("a second tap goes to the other side of the trunk", () => {
  const spot = nextSpot({ girthCm: 144, oldHoles: [{ aroundCm: 72, heightCm: 100 }], zone });
  const apart = Math.min(spot?.aroundCm ?? 72, 144 - (spot?.aroundCm ?? 72));
  expect(apart).toBeLessThanOrEqual(72 - 4 * zone.sidewaysCm + 1);
});

it.each([
  { girthCm: 203.2, around: [25.4], roomCm: 101.6 },
  { girthCm: 214, around: [24, 131], roomCm: 53.5 },
])("no place around the trunk has more room than the one proposed: holes at $around", (trunk) => {
  const { girthCm } = trunk;
  const oldHoles = trunk.around.map((aroundCm) => ({ aroundCm, heightCm: 100 }));
  const spot = nextSpot({ girthCm, oldHoles, zone });
  expect(spot?.heightCm).toBe(spotHeightsCm.usual);
  const apart = oldHoles.map((old) => sidewaysDistanceCm(spot ?? old, old, { girthCm }));
  expect(Math.min(...apart)).toBeGreaterThanOrEqual(trunk.roomCm - 1);
});

it("what is proposed is outside every zone and at a height to hang a bucket at", () => {
  fc.assert(
    fc.property(someTrunk, (trunk) => {
      const spot = nextSpot(trunk);
      if (spot === undefined) return;
      expect(holesTooNear(spot, trunk)).toEqual([]);
      expect(spot.aroundCm).toBeGreaterThanOrEqual(0);
      expect(spot.aroundCm).toBeLessThan(trunk.girthCm);
      expect(spot.heightCm).toBeGreaterThanOrEqual(spotHeightsCm.from);
      expect(spot.heightCm).toBeLessThanOrEqual(spotHeightsCm.to);
    }),
    { numRuns: 60 },
  );
});

it("where nothing is proposed, no place of the grid is free", () => {
  const holes: HolePlace[] = [];
  for (let aroundCm = 0; aroundCm < 70; aroundCm += 10) {
    for (const heightCm of [60, 85, 110, 135]) holes.push({ aroundCm, heightCm });
  }
  const trunk = { girthCm: 70, oldHoles: holes, zone };
  expect(nextSpot(trunk)).toBeUndefined();
  for (let aroundCm = 0; aroundCm < 70; aroundCm += 1) {
    for (let heightCm = 60; heightCm <= 140; heightCm += 5) {
      expect(holesTooNear({ aroundCm, heightCm }, trunk)).not.toEqual([]);
    }
  }
});

it("closing one hole never takes a spot away", () => {
  fc.assert(
    fc.property(someTrunk, (trunk) => {
      const fewer = { ...trunk, oldHoles: trunk.oldHoles.slice(1) };
      if (nextSpot(trunk) !== undefined) expect(nextSpot(fewer)).toBeDefined();
    }),
    { numRuns: 40 },
  );
});
