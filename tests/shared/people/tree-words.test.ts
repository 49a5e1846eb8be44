// Trees and holes as people read them.
import { expect, it } from "vitest";
import {
  adviceWords,
  drilledWords,
  drillingLines,
  drillingProblemWords,
  guidelineWords,
  healthWords,
  holeWords,
  speciesFacts,
} from "../../../shared/people/tree-words.ts";
import { drillingProblems } from "../../../shared/trees/drilling.ts";
import { tapGuidelines } from "../../../shared/trees/guidelines.ts";
import { tapAdvice, treeHealths } from "../../../shared/trees/tap-advice.ts";
import { msPerDay } from "../../../shared/units.ts";

const [careful, , , older] = tapGuidelines;
const inch = 2.54;
const timeZone = "America/Toronto";
const tappedMs = Date.UTC(2026, 2, 5, 17);

// Ready cases: girth and careful guideline, by the figures of the guidelines named in shared/trees/guidelines.ts.
it.each([
  [57, 2, "18.1 in through: room for 2 taps"],
  [38, 1, "12.1 in through: room for 1 tap"],
  [31, 0, "9.87 in through: too thin to tap"],
])("a girth of %d in carries %d", (girthIn, taps, words) => {
  const advice = tapAdvice({ girthCm: girthIn * inch, health: "sound", guideline: careful });
  expect(advice?.taps).toBe(taps);
  expect(adviceWords(advice, "us")).toBe(words);
});

it("the older guideline lets a thick tree carry four, and a hurt or slow one still rests", () => {
  const tree = { girthCm: 79 * inch, guideline: older ?? careful };
  expect(tapAdvice({ ...tree, health: "sound" })?.taps).toBe(4);
  expect(adviceWords(tapAdvice({ ...tree, health: "hurt" }), "us")).toMatch(/leave it alone/);
  expect(adviceWords(tapAdvice({ ...tree, health: "slow" }), "us")).toMatch(/rest/);
  expect(adviceWords(tapAdvice({ ...tree, girthCm: null, health: "sound" }), "us")).toBe(
    "not measured yet",
  );
});

it("a hole tells its age and when it dries, 4 to 6 weeks on (M. Farrell)", () => {
  const at = (days: number) => ({ nowMs: tappedMs + days * msPerDay, timeZone });
  const hole = { tappedMs, pulledMs: null };
  expect(holeWords(hole, at(12))).toBe(
    "drilled 12 days ago, likely to dry between 2 Apr and 16 Apr",
  );
  expect(holeWords(hole, at(50))).toMatch(/pull the spile/);
  expect(holeWords({ ...hole, pulledMs: tappedMs + 40 * msPerDay }, at(50))).toBe(
    "spile pulled 14 Apr",
  );
  expect(holeWords({ ...hole, pulledMs: tappedMs - 330 * msPerDay }, at(0))).toBe(
    "spile pulled 9 Apr 2025",
  );
  expect(holeWords({ tappedMs: null, pulledMs: null }, at(0))).toMatch(/isn’t known/);
  expect(holeWords(hole, at(-2))).toBe("to be drilled 5 Mar");
});

it("how to drill is told in inches as bits are sold, or in millimetres", () => {
  const lines = (units: "us" | "metric") => drillingLines(units).map(({ words }) => words);
  expect(lines("us")[0]).toBe("Bit 5/16 in; older spiles take 7/16 in");
  expect(lines("us")[1]).toBe("Depth 1 1/2 in, never over 2 in");
  expect(lines("us")[3]).toBe("Wood warmer than 23 °F");
  expect(lines("metric")[1]).toBe("Depth 38 mm, never over 51 mm");
});

it("guidelines are told in the reader's units", () => {
  const told = (units: "us" | "metric") => tapGuidelines.map((one) => guidelineWords(one, units));
  expect(told("us")).toEqual([
    "Careful: one tap from 12 in, two above 18 in",
    "Second tap only from 20 in",
    "Second tap only from 24 in, as in Ontario",
    "Older: one tap from 10 in, one more every 5 in, four at most",
  ]);
  expect(told("metric")).toEqual([
    "Careful: one tap from 30 cm, two above 46 cm",
    "Second tap only from 51 cm",
    "Second tap only from 60 cm, as in Ontario",
    "Older: one tap from 25 cm, one more every 13 cm, four at most",
  ]);
});

it("how a hole was drilled is told as far as it is on record, in either units", () => {
  const hole = { bitMm: 7.9, depthMm: 38, slopeDegrees: 7, woodTempC: 2 };
  expect(drilledWords(hole, "metric").join(", ")).toBe(
    "bit 7.9 mm, 38 mm deep, 7° upwards, wood at 2 °C",
  );
  expect(drilledWords(hole, "us").join(", ")).toBe(
    "bit 5/16 in, 1 1/2 in deep, 7° upwards, wood at 35.6 °F",
  );
  const nothing = { bitMm: null, depthMm: null, slopeDegrees: null, woodTempC: null };
  expect(drilledWords(nothing, "us")).toEqual([]);
});

it.each([
  [{ depthMm: 60, bitMm: 7.9 }, ["too deep"]],
  [{ depthMm: 38, bitMm: 11.1 }, ["wide bit"]],
  [{ depthMm: 50.8, bitMm: 7.9375, slopeDegrees: 5, woodTempC: 2 }, []],
  [{ depthMm: null, bitMm: null, slopeDegrees: 2, woodTempC: -5 }, ["too flat", "frozen wood"]],
  [{ depthMm: null, bitMm: null, slopeDegrees: 12 }, ["too steep"]],
])("drilling %j has to mind %j", (drilling, problems) => {
  const found = drillingProblems(drilling);
  expect(found).toEqual(problems);
  for (const problem of found) expect(drillingProblemWords[problem]).not.toBe("");
});

it("every health has its words, and sugar maple its sugar", () => {
  for (const health of treeHealths) expect(healthWords[health]).not.toBe("");
  expect(speciesFacts["sugar maple"]).toMatch(/2 to 3 %/);
});
