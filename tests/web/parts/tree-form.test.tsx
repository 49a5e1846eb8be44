// @vitest-environment happy-dom
// What a girth, and a diameter beside it, are told to mean.
import { cleanup, render, screen } from "@testing-library/preact";
import { afterEach, expect, it } from "vitest";
import { GirthNote } from "../../../web/parts/tree-form.tsx";

afterEach(cleanup);

const inch = 2.54;

it.each([
  [57, 18.1, /^18.1 in through: the girth divided by 3.14.$/],
  [57, 28.5, /looks like half the girth. The tree is 18.1 in through/],
  [18, 18, /^18 in twice, the same number: is that the girth or the diameter\?/],
  [57, 9, /^The two don’t agree: 57 in around is 18.1 in through \(divided by 3.14\), not 9 in/],
  [18, null, /through.* is that the girth\? A diameter goes in the field beside/],
  [31, null, /^9.87 in through: the girth divided by 3.14.$/],
])("a girth of %s in with a diameter of %s in", (girthIn, diameterIn, said) => {
  const diameterCm = diameterIn === null ? null : diameterIn * inch;
  render(<GirthNote girthCm={girthIn * inch} diameterCm={diameterCm} units="us" />);
  expect(screen.getByText(said)).toBeTruthy();
});
