// Sunlight on a phone: the inks of figures and words stand out from every paper they are written on.
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";

const css = readFileSync(new URL("../../web/styles/base.css", import.meta.url), "utf8");
const [light = "", dark = ""] = css.split("@media (prefers-color-scheme: dark)");

function colourOf(sheet: string, name: string): string {
  const found = new RegExp(`--${name}: (#[0-9a-f]{6});`).exec(sheet)?.[1];
  if (found === undefined) throw new Error(`base.css requires --${name}, got none`);
  return found;
}

/** Relative luminance, WCAG 2.1, https://www.w3.org/TR/WCAG21/#dfn-relative-luminance */
function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return share <= 0.03928 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Contrast ratio, the same source, #dfn-contrast-ratio. */
function contrast(one: string, other: string): number {
  const [bright = 0, dim = 0] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (bright + 0.05) / (dim + 0.05);
}

it("black on white is 21 to 1, as the source says", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 5);
});

// AAA for text of any size: 7 to 1, WCAG 2.1 success criterion 1.4.6.
it.each(
  [light, dark].flatMap((sheet, index) =>
    ["ink", "ink-soft", "warm", "ice"].map((ink) => ({
      scheme: index === 0 ? "light" : "dark",
      ink,
      sheet,
    })),
  ),
)("$ink on paper in the $scheme is AAA", ({ ink, sheet }) => {
  expect(contrast(colourOf(sheet, ink), colourOf(sheet, "paper"))).toBeGreaterThanOrEqual(7);
});

it.each([light, dark])("words on a tag are AAA", (sheet) => {
  expect(contrast(colourOf(sheet, "on-warm"), colourOf(sheet, "warm"))).toBeGreaterThanOrEqual(7);
});
