// Girths, taps and distances between holes against the published guidelines.
import { expect, it } from "vitest";
import { diameterCmFromGirth } from "../../../shared/trees/girth.ts";
import { tapGuidelines, tapsUnderGuideline } from "../../../shared/trees/guidelines.ts";
import { holesTooNear, holeZones } from "../../../shared/trees/hole.ts";

const cmPerInch = 2.54;

function taps(key: string, diameterIn: number): number {
  const guideline = tapGuidelines.find((known) => known.key === key);
  return tapsUnderGuideline(diameterIn * cmPerInch, guideline!);
}

// Cornell Sugar Maple program, girth and diameter in inches, rounded there to whole inches.
it.each([
  [31, 10],
  [53, 17],
  [57, 18],
  [75, 24],
  [79, 25],
])("a girth of %d inches is a diameter of %d", (girthIn, diameterIn) => {
  const computedIn = diameterCmFromGirth(girthIn * cmPerInch) / cmPerInch;
  expect(Math.abs(computedIn - diameterIn)).toBeLessThan(0.2);
});

// North American Maple Syrup Producers Manual; M. Farrell, Northern Woodlands.
it.each([
  [11.9, 0],
  [12, 1],
  [18, 1],
  [18.1, 2],
  [40, 2],
])("the careful guideline gives %d inches %d taps", (diameterIn, count) => {
  expect(taps("careful", diameterIn)).toBe(count);
});

// North American Maple Syrup Producers Manual, older editions.
it.each([
  [9.9, 0],
  [10, 1],
  [14.9, 1],
  [15, 2],
  [20, 3],
  [25, 4],
  [40, 4],
])("the older guideline gives %d inches %d taps", (diameterIn, count) => {
  expect(taps("older", diameterIn)).toBe(count);
});

// A. Wild, Cornell: a second tap only from 20 inches. Ontario: from 60 cm, 23.6 inches.
it.each([
  ["late-second", 19.9, 1],
  ["late-second", 20, 2],
  ["ontario", 23.6, 1],
  ["ontario", 23.7, 2],
])("the guideline %s gives %d inches %d taps", (key, diameterIn, count) => {
  expect(taps(key, diameterIn)).toBe(count);
});

// Girth / pi, then the careful and the older guideline.
it.each([
  [57, 2, 2],
  [38, 1, 1],
  [31, 0, 0],
])("a girth of %d inches takes %d taps carefully and %d as of old", (girthIn, careful, older) => {
  const diameterIn = diameterCmFromGirth(girthIn * cmPerInch) / cmPerInch;
  expect(taps("careful", diameterIn)).toBe(careful);
  expect(taps("older", diameterIn)).toBe(older);
});

// Inches sideways and up from an old hole: A. Wild, Cornell, 1 and 12; Pitcoff, 3 and 6; UVM Proctor Center, 4 and 12.
it.each([
  ["cornell", 1.1, 0, true],
  ["cornell", 0.9, 11.9, false],
  ["cornell", 0, 12.1, true],
  ["pitcoff", 2.9, 5.9, false],
  ["pitcoff", 2.9, 6.1, true],
  ["proctor", 3.9, 11.9, false],
  ["proctor", 4.1, 0, true],
])("by %s a hole %d in beside and %d in above an old one is allowed: %s", (...given) => {
  const [key, besideIn, aboveIn, isAllowed] = given;
  const place = { aroundCm: besideIn * cmPerInch, heightCm: 90 + aboveIn * cmPerInch };
  const zone = holeZones.find((known) => known.key === key)!;
  const tree = { oldHoles: [{ aroundCm: 0, heightCm: 90 }], girthCm: 150, zone };
  expect(holesTooNear(place, tree)).toHaveLength(isAllowed ? 0 : 1);
});
