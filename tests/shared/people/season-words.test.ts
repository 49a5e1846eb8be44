// A season's end in people's words.
import { expect, it } from "vitest";
import { leftOpenWords, totalRows, warningWords } from "../../../shared/people/season-words.ts";

const warned = (brimful: number, warnedOf: number, medianLeadH: number | null) =>
  warningWords({ warnings: { byKind: [], brimful, warned: warnedOf, medianLeadH } });

it("warnings are told one by one while there is one, and by half of them when there are more", () => {
  expect(warned(0, 0, null)).toBe("No bucket stood at the rim.");
  expect(warned(1, 1, 3)).toMatch(/^One bucket stood at the rim; it was warned of 3.* ahead\.$/);
  expect(warned(1, 0, null)).toBe("One bucket stood at the rim; no warning came before.");
  expect(warned(3, 1, 3)).toMatch(/3 times; 1 of these had been warned of before, 3.* ahead\.$/);
  expect(warned(4, 2, 3)).toMatch(/2 of these .* before, half of them more than 3.* ahead\.$/);
  expect(warned(2, 0, null)).toMatch(/0 of these had been warned of before\.$/);
});

it("what is left to do at a season's end is named: jobs, spiles, sap", () => {
  const barrel = { label: "Barrel", volumeL: 12 };
  const left = { jobs: 2, spiles: 1, vessels: [barrel, { label: "Can", volumeL: 0.01 }] };
  expect(leftOpenWords(left, "metric")).toEqual([
    "2 jobs not ticked",
    "1 spile still in",
    "12.0 L of sap in Barrel",
  ]);
  expect(leftOpenWords({ jobs: 0, spiles: 0, vessels: [] }, "us")).toEqual([]);
});

it("sugar is said to be of the trees that were measured", () => {
  expect(totalRows("metric").map(({ name }) => name)).toContain("sugar in it, of trees measured");
});
