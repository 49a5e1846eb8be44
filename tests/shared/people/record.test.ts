// The record in words: shares where there is enough, "too few to tell" with the count where not.
import { describe, expect, it } from "vitest";
import {
  afterwardsWords,
  expectedWords,
  fewForecastsWords,
  fillsWords,
  inflowWords,
  missedWords,
  warningsWords,
} from "../../../shared/people/record.ts";

const none = {
  useful: 0,
  late: 0,
  false: 0,
  expected: 0,
  open: 0,
  untold: 0,
  afterwards: 0,
  overflows: 0,
  missed: 0,
};

describe("the record in words", () => {
  it("says that few warnings tell little, and shares of many", () => {
    expect(warningsWords(none)).toBe("No warning was raised and judged yet.");
    expect(warningsWords({ ...none, useful: 1 })).toContain(
      "Of 1 judged warning so far 1 was useful",
    );
    expect(warningsWords({ ...none, useful: 5, false: 4 })).toContain("too few to tell");
    expect(warningsWords({ ...none, useful: 12, late: 1, false: 2 })).toBe(
      "12 of 15 (80 %) of the warnings were useful, 2 of 15 (13 %) false.",
    );
  });

  it("says which were worked out when nobody could be told", () => {
    expect(afterwardsWords({ ...none, useful: 3 })).toBeUndefined();
    expect(afterwardsWords({ ...none, useful: 3, false: 1, afterwards: 4 })).toMatch(/^These were/);
    expect(afterwardsWords({ ...none, useful: 3, afterwards: 1 })).toMatch(
      /^1 of these was worked/,
    );
  });

  it("says how many were to come true, by the chance that a walk is worth", () => {
    expect(expectedWords(none, 0.15)).toBe("");
    expect(expectedWords({ ...none, useful: 3, late: 1, false: 7, expected: 4.3 }, 0.15)).toBe(
      "A walk counts as worth it from a chance of 15 %, so some are to be for nothing: by the chances told about 4 of these 11 were to run over, 4 would have.",
    );
  });

  it("counts the rims reached and those that came unwarned", () => {
    expect(missedWords(none)).toBe("No bucket came to its rim.");
    expect(missedWords({ ...none, overflows: 1 })).toBe(
      "Once a bucket came to its rim; never without a useful warning before.",
    );
    expect(missedWords({ ...none, overflows: 4, missed: 2 })).toBe(
      "4 times a bucket came to its rim; 2 times without a useful warning before.",
    );
  });

  it("asks for forecasts, and for some of them to have come true", () => {
    const told = { aheadH: 12, count: 199, wentOver: 50, bins: [] };
    expect(fewForecastsWords(told)).toBe("too few to tell (199 forecasts are a day old)");
    expect(fewForecastsWords({ ...told, count: 900, wentOver: 3 })).toContain(
      "(3 of 900 forecasts",
    );
    expect(fewForecastsWords({ ...told, count: 900 })).toBeUndefined();
  });

  it("tells how the bounds held", () => {
    expect(inflowWords({ count: 49, within: 40, expectedShare: 0.9 })).toContain(
      "too few to tell (49",
    );
    expect(inflowWords({ count: 100, within: 88, expectedShare: 0.9 })).toBe(
      "88 of 100 (88 %) held what came; 90 % should",
    );
    const fills = { count: 20, within: 19, expectedShare: 0.9, medianErrorShare: 0.0123 };
    expect(fillsWords(fills)).toBe(
      "19 of 20 (95 %) lay within its bounds; half of them within 1.2 % of it",
    );
    expect(fillsWords({ ...fills, count: 3, within: 3 })).toBe("too few to tell (3 gatherings)");
  });
});
