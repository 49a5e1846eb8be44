// A tap hole: how to drill it, how long it runs, and how far from old ones it must be.
import { msPerDay } from "../units.ts";

const cmPerInch = 2.54;
const daysPerWeek = 7;

/** How to drill, each with its source. */
export const holeFacts = {
  bitMm: { value: 7.9, older: 11.1, source: "M. Koelling, Michigan State University; M. Farrell" },
  depthMm: {
    value: 38,
    most: 51,
    source: "1.5 inches common practice; Ontario: 1.5, never over 2 inches",
  },
  slopeDegrees: { from: 5, to: 10, source: "Ontario Ministry of Agriculture" },
  woodTempC: { above: -5, source: "Ontario Ministry of Agriculture: frozen wood splits" },
  lifeDays: { from: 4 * daysPerWeek, to: 6 * daysPerWeek, source: "M. Farrell" },
} as const;

export const holeZoneKeys = ["proctor", "pitcoff", "cornell"] as const;
export type HoleZoneKey = (typeof holeZoneKeys)[number];

export type HoleZone = { key: HoleZoneKey; sidewaysCm: number; verticalCm: number; source: string };

/** Room around an old hole where no new one belongs. The first is the default, the widest. */
export const holeZones: readonly [HoleZone, ...HoleZone[]] = [
  {
    key: "proctor",
    sidewaysCm: 4 * cmPerInch,
    verticalCm: 12 * cmPerInch,
    source:
      "University of Vermont Proctor Center 2020, quoted second-hand: 2-4 and 6-12 inches, the wider of each",
  },
  {
    key: "pitcoff",
    sidewaysCm: 3 * cmPerInch,
    verticalCm: 6 * cmPerInch,
    source: "Pitcoff",
  },
  {
    key: "cornell",
    sidewaysCm: cmPerInch,
    verticalCm: 12 * cmPerInch,
    source: "A. Wild, Cornell",
  },
];

export function zoneOf(key: HoleZoneKey): HoleZone {
  return holeZones.find((zone) => zone.key === key) ?? holeZones[0];
}

/** A place on the bark: aroundCm along the girth from any mark, heightCm above the ground. */
export type HolePlace = { aroundCm: number; heightCm: number };

/** Shortest way around the trunk between two places, 0 to half the girth. Throws RangeError for a girth of none. */
export function sidewaysDistanceCm(
  one: HolePlace,
  other: HolePlace,
  trunk: { girthCm: number },
): number {
  if (!(trunk.girthCm > 0 && Number.isFinite(trunk.girthCm))) {
    throw new RangeError(`girth requires more than 0 cm, got ${trunk.girthCm}`);
  }
  const apartCm = Math.abs(one.aroundCm - other.aroundCm) % trunk.girthCm;
  return Math.min(apartCm, trunk.girthCm - apartCm);
}

/**
 * The old holes that a new one would come too near: less than the zone sideways and less than it up or down, for
 * the dead wood of a hole is a tall narrow column. Throws RangeError for a girth of none.
 */
export function holesTooNear(
  place: HolePlace,
  tree: { oldHoles: readonly HolePlace[]; girthCm: number; zone: HoleZone },
): HolePlace[] {
  return tree.oldHoles.filter((old) => {
    const sidewaysCm = sidewaysDistanceCm(place, old, tree);
    const verticalCm = Math.abs(place.heightCm - old.heightCm);
    return sidewaysCm < tree.zone.sidewaysCm && verticalCm < tree.zone.verticalCm;
  });
}

export type HoleAge = { ageDays: number; stage: "fresh" | "ageing" | "past its time" };

/**
 * Age of a hole: fresh under 4 weeks, ageing to 6, then past its time (M. Farrell: a hole runs 4-6 weeks). Throws
 * RangeError when it would be drilled only later.
 */
export function holeAge(hole: { drilledAtMs: number; nowMs: number }): HoleAge {
  const ageDays = (hole.nowMs - hole.drilledAtMs) / msPerDay;
  if (!(ageDays >= 0)) {
    throw new RangeError(`a hole's age requires a drilling in the past, got ${ageDays} days`);
  }
  const { from, to } = holeFacts.lifeDays;
  if (ageDays < from) return { ageDays, stage: "fresh" };
  return { ageDays, stage: ageDays <= to ? "ageing" : "past its time" };
}
