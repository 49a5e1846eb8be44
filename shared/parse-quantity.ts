// Reads what people type for a quantity: "7 1/2 gal", "46cm", "1 h 30 min", "25 F", or a plain number.
import { type Parsed, parsed, refused } from "./parsed.ts";
import {
  convertedValue,
  formatQuantity,
  type Quantity,
  quantities,
  shownUnit,
} from "./quantities.ts";
import { kindWordsOf, quantityUnits, type Unit, unitNamed } from "./quantity-units.ts";
import type { Units } from "./wire/api.ts";

const vulgarFractions: Record<string, string> = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅓": "1/3",
  "⅔": "2/3",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
};
const twoSides = /^(.*\d.*?) ?[x×*] ?(.*\d.*)$/i;
const figure = String.raw`\d+ \d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+`;
const term = new RegExp(String.raw`^(${figure})([^\d,]*)(?:, )?`);
const thousands = /\d[.,]\d{3}[.,]|(?<![\d.,])[1-9]\d{0,2},\d{3}(?!\d)/;

type Term = { figure: number; word: string };

/**
 * The value in the quantity's own unit. A plain number is in this browser's unit; a decimal comma is a decimal
 * point; several parts add up from the greatest unit down ("1 gal 2 qt"). Problems are fit to be shown.
 */
export function parseQuantity(text: string, of: Quantity, units: Units): Parsed<number> {
  const typed = tidied(text);
  const sides = quantityUnits[of.kept].kind === "area" ? twoSides.exec(typed) : null;
  if (sides !== null) return areaFromSides(text, sides, { of, units });
  if (typed === "") return refused(`Missing: ${example(of, units)}`);
  if (thousands.test(typed)) {
    return refused(`“${text.trim()}” could be read in two ways: write it without a thousands mark`);
  }
  const isNegative = typed.startsWith("-");
  const terms = termsOf(isNegative ? typed.slice(1).trimStart() : typed);
  if (terms === undefined) {
    return refused(`“${text.trim()}” is no figure: ${example(of, units)}`);
  }
  const sum = summed(terms, { of, units, isNegative });
  if (!sum.ok) return sum;
  return inRange(sum.value, text, { of, units });
}

/** "18 in x 24 in", or "18 x 24 in" with one unit for both. */
function areaFromSides(
  text: string,
  [, one = "", other = ""]: readonly string[],
  asked: { of: Quantity; units: Units },
): Parsed<number> {
  const side = quantities.sideM;
  const unit = /[^\d\s./,]+$/.exec(other)?.[0] ?? "";
  const first = parseQuantity(isPlainNumber(one) ? `${one} ${unit}` : one, side, asked.units);
  if (!first.ok) return first;
  const second = parseQuantity(other, side, asked.units);
  if (!second.ok) return second;
  return inRange(first.value * second.value, text, asked);
}

/** Whether a text is a number without a unit, which then takes this browser's. */
export function isPlainNumber(text: string): boolean {
  const terms = termsOf(tidied(text).replace(/^- ?/, ""));
  return terms === undefined || terms.every(({ word }) => word === "");
}

function tidied(text: string): string {
  return text
    .replace(/[½¼¾⅓⅔⅛⅜⅝⅞]/g, (mark) => ` ${vulgarFractions[mark]}`)
    .replace(/[−–]/g, "-")
    .replace(/(?<=[a-z])2(?!\d)/gi, "²")
    .replace(/(?<=[a-z])3(?!\d)/gi, "³")
    .replace(/(\d)-(?=\d+\/\d)/g, "$1 ")
    .replace(/ *\/ */g, "/")
    .replace(/\s+/g, " ")
    .trim();
}

/** "1 gal 2 qt" as its two parts; undefined for what can't be read so. */
function termsOf(text: string): Term[] | undefined {
  const terms: Term[] = [];
  let rest = text;
  while (rest !== "") {
    const found = term.exec(rest);
    if (found === null) return undefined;
    const [whole, digits = "", word = ""] = found;
    const value = figureFrom(digits);
    if (!Number.isFinite(value)) return undefined;
    terms.push({
      figure: value,
      word: word
        .replace(/ and $/, "")
        .trim()
        .replace(/^\.$/, ""),
    });
    rest = rest.slice(whole.length).trimStart();
  }
  return terms.length === 0 ? undefined : terms;
}

function figureFrom(digits: string): number {
  const parts = digits.split(" ").map((part) => {
    const [above = "", below] = part.split("/");
    const value = Number(above.replace(",", "."));
    return below === undefined ? value : value / Number(below);
  });
  return parts.reduce((sum, part) => sum + part, 0);
}

type Asked = { of: Quantity; units: Units; isNegative: boolean };

function summed(terms: Term[], { of, units, isNegative }: Asked): Parsed<number> {
  const kept = quantityUnits[of.kept];
  const found: { figure: number; unit: Unit }[] = [];
  for (const { figure: value, word } of terms) {
    const unit = unitOf(word, of, { units, isOnly: terms.length === 1 });
    if (!unit.ok) return unit;
    found.push({ figure: value, unit: unit.value });
  }
  const isDescending = found.every(({ unit }, index) => {
    const before = found[index - 1];
    return before === undefined || unit.factor < before.unit.factor;
  });
  if (!isDescending || (found.length > 1 && kept.kind === "temp")) {
    return refused(`Several figures don’t make one: ${example(of, units)}`);
  }
  const sign = isNegative ? -1 : 1;
  const values = found.map(({ figure: value, unit }) => convertedValue(sign * value, unit, kept));
  return parsed(values.reduce((sum, value) => sum + value, 0));
}

function unitOf(word: string, of: Quantity, how: { units: Units; isOnly: boolean }): Parsed<Unit> {
  const { kind } = quantityUnits[of.kept];
  const isBare = word === "" || (kind === "temp" && word === "°");
  if (isBare && how.isOnly) return parsed(shownUnit(of, how.units));
  const unit = isBare ? undefined : unitNamed(word, kind);
  if (unit !== undefined) return parsed(unit);
  if (isBare) return refused(`A figure has no unit: ${example(of, how.units)}`);
  const other = kindWordsOf(word);
  const why =
    other === undefined ? `“${word}” is no unit known here` : `“${word}” measures ${other}`;
  return refused(`${why}: ${example(of, how.units)}`);
}

/** "write a girth like 57.1 in or 145 cm", the browser's own unit first. */
function example(of: Quantity, units: Units): string {
  const own = roughly(of.usual, of, units);
  const other = roughly(of.usual, of, units === "us" ? "metric" : "us");
  return `write ${of.name} like ${own === other ? own : `${own} or ${other}`}`;
}

// Bounds are told rounded: what they are told as isn't out of range.
const rounding = 5e-3;

function inRange(
  value: number,
  text: string,
  { of, units }: { of: Quantity; units: Units },
): Parsed<number> {
  const slack = rounding * Math.max(Math.abs(of.least), Math.abs(of.most) * rounding);
  if (value >= of.least - slack && value <= of.most * (1 + rounding)) {
    return parsed(Math.min(of.most, Math.max(of.least, value)));
  }
  const [least, most] = [of.least, of.most].map((bound) => roughly(bound, of, units));
  return refused(`“${text.trim()}” can’t be right: ${of.name} is ${least} to ${most}`);
}

function roughly(value: number, of: Quantity, units: Units): string {
  return formatQuantity(value, { ...of, figures: 3 }, units);
}
