// What a person types into an entry is kept, whatever it is, with what it means.
import { expect, it } from "vitest";
import { quantities } from "../../shared/quantities.ts";
import { readEntry } from "../../web/entry.ts";

const girth = { quantity: quantities.girthCm, units: "us" } as const;

it("a value nobody touched stays exact and is shown in this browser’s unit", () => {
  const entry = { ...girth, before: 144.777 };
  expect(readEntry(undefined, entry)).toMatchObject({
    text: "57",
    unit: "in",
    value: 144.777,
    isChanged: false,
  });
  expect(readEntry(undefined, { ...entry, units: "metric" })).toMatchObject({
    text: "144.8",
    unit: "cm",
  });
});

it("a plain number keeps the unit it was typed in when the browser’s units are switched", () => {
  const typed = { text: "57", units: "us" } as const;
  expect(readEntry(typed, girth)).toMatchObject({ unit: "in", echo: undefined });
  const switched = readEntry(typed, { ...girth, units: "metric" });
  expect(switched).toMatchObject({ text: "57", unit: "in", echo: "144.8 cm" });
  expect(switched.value).toBeCloseTo(144.78, 9);
});

it("another unit is echoed in this browser’s", () => {
  expect(readEntry({ text: "145 cm", units: "us" }, girth)).toMatchObject({
    value: 145,
    unit: undefined,
    echo: "57.09 in",
  });
  expect(readEntry({ text: "57 in", units: "us" }, girth).echo).toBeUndefined();
});

it("what is wrong is said and what was typed is kept", () => {
  const wrong = readEntry({ text: "3 gal", units: "us" }, { ...girth, before: 145 });
  expect(wrong).toMatchObject({ text: "3 gal", value: undefined, isChanged: true });
  expect(wrong.problem).toContain("measures a volume");
});

it("an entry may be left empty only where that is said", () => {
  expect(readEntry(undefined, girth).problem).toMatch(/^Missing/);
  expect(readEntry(undefined, { ...girth, optional: true }).value).toBeNull();
  const cleared = { text: " ", units: "us" } as const;
  expect(readEntry(cleared, { ...girth, before: 145, optional: true }).value).toBeNull();
  expect(readEntry(cleared, { ...girth, before: 145 }).value).toBeUndefined();
});
