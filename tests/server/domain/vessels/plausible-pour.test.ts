// What a person can have poured, before it is taken for a slip of the pen.
import { expect, test } from "vitest";
import { mostPouredInL, mostPouredL } from "../../../../server/domain/vessels/plausible-pour.ts";

test("a quarter more than the book says, and five litres, may have been poured out", () => {
  expect(mostPouredL(40)).toBe(55);
  expect(mostPouredL(0)).toBe(5);
  expect(mostPouredL(-3)).toBe(5);
});

test("a quarter more than a vessel holds may go in at once", () => {
  expect(mostPouredInL(80)).toBe(100);
});
