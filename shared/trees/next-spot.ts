// Where the next hole may go: as far from all old ones as the trunk allows, at a height the bucket can hang at.
import { type HolePlace, type HoleZone, holesTooNear, sidewaysDistanceCm } from "./hole.ts";

export type Trunk = { girthCm: number; oldHoles: readonly HolePlace[]; zone: HoleZone };

/** Heights proposed, and the one to hang a bucket at when all is free (common practice, no source). */
export const spotHeightsCm = { from: 60, usual: 100, to: 140 } as const;

const aroundStepCm = 1;
const heightStepCm = 5;
/** What a metre away from the usual height weighs, in zones. */
const heightWeight = 1;

/** Room between a place and an old hole, in zones: under 1 it is too near. */
function zonesApart(place: HolePlace, old: HolePlace, { girthCm, zone }: Trunk): number {
  const sideways = sidewaysDistanceCm(place, old, { girthCm }) / zone.sidewaysCm;
  const vertical = Math.abs(place.heightCm - old.heightCm) / zone.verticalCm;
  return Math.max(sideways, vertical);
}

function worthOf(place: HolePlace, trunk: Trunk): number {
  const mostZones = trunk.girthCm / 2 / trunk.zone.sidewaysCm;
  const room = trunk.oldHoles.reduce(
    (least, old) => Math.min(least, zonesApart(place, old, trunk)),
    mostZones,
  );
  return room - (heightWeight * Math.abs(place.heightCm - spotHeightsCm.usual)) / 100;
}

/**
 * The place with the most room around it, 60-140 cm up, on a grid of 1 cm around and 5 cm up; undefined when every
 * place is too near an old hole. On a trunk without holes it is on the far side of the mark. Throws RangeError for a
 * girth of none.
 */
export function nextSpot(trunk: Trunk): HolePlace | undefined {
  const stepsAround = Math.max(1, Math.floor(trunk.girthCm / aroundStepCm));
  let best: { place: HolePlace; worth: number } | undefined;
  for (let around = 0; around < stepsAround; around += 1) {
    // From the far side of the mark on, both ways by turns.
    const turn = Math.ceil(around / 2) * (around % 2 === 0 ? 1 : -1);
    const aroundCm = (Math.floor(stepsAround / 2) + turn) * aroundStepCm;
    for (
      let heightCm = spotHeightsCm.from;
      heightCm <= spotHeightsCm.to;
      heightCm += heightStepCm
    ) {
      const place = { aroundCm, heightCm };
      if (holesTooNear(place, trunk).length > 0) continue;
      const worth = worthOf(place, trunk);
      if (best === undefined || worth > best.worth) best = { place, worth };
    }
  }
  return best?.place;
}
