// When to tap, in words with their reason.
import { expect, it } from "vitest";
import { formatDayKey } from "../../../shared/people/format.ts";
import { litresReason, perTapWords, whenToTapWords } from "../../../shared/people/tapping-words.ts";

const outlook = "used";

it("several runs ahead say by which day to be done, and once tapped, when the next is", () => {
  const advice = { word: "tap", byDayKey: "2026-03-05", runDays: 4, ofDays: 7 } as const;
  expect(whenToTapWords({ advice, outlook }, false)).toBe(
    "Time to tap, before Thursday 5 Mar: 4 days of frost and thaw in the 7 days that the forecast tells.",
  );
  expect(whenToTapWords({ advice, outlook }, true)).toMatch(/^Next run Thursday 5 Mar: 4 days/);
});

it("one run may wait, and says why", () => {
  const advice = { word: "may-wait", byDayKey: "2026-03-05", runDays: 1, ofDays: 10 } as const;
  const words = whenToTapWords({ advice, outlook }, false);
  expect(words).toMatch(/^It may wait: one day of frost and thaw in the 10 days/);
  expect(words).toMatch(/4 to 6 weeks/);
});

it("no run in sight says what is missing, and no forecast says that", () => {
  const warm = { word: "wait", why: "stays warm", ofDays: 1 } as const;
  const frozen = { word: "wait", why: "stays frozen", ofDays: 6 } as const;
  expect(whenToTapWords({ advice: frozen, outlook }, false)).toBe(
    "Too early: it stays frozen in the 6 days that the forecast tells.",
  );
  expect(whenToTapWords({ advice: frozen, outlook }, true)).toMatch(/^No run in sight/);
  expect(whenToTapWords({ advice: warm, outlook }, false)).toMatch(/no night freezes in the day/);
  const unknown = { word: "unknown" } as const;
  expect(whenToTapWords({ advice: unknown, outlook: "none" }, false)).toMatch(
    /^No weather forecast/,
  );
  expect(whenToTapWords({ advice: unknown, outlook: "impossible" }, false)).toBe(
    "The weather forecast names air that can't be, so nothing is said of the days ahead.",
  );
});

it("litres come with their likely range and what they are made of", () => {
  const perTapL = { lowL: 0.6, middleL: 1.9, highL: 4.2 };
  expect(perTapWords({ perTapL }, "metric")).toBe("1.9 L, likely 0.6 to 4.2 L");
  expect(perTapWords({ perTapL }, "us")).toBe("0.50 gal, likely 0.16 to 1.11 gal");
  expect(perTapWords({ perTapL: null }, "us")).toBe("the forecast ends in it");
  expect(litresReason({ taughtTrees: 0 })).toMatch(/nobody knows/);
  expect(litresReason({ taughtTrees: 3 })).toMatch(/3 buckets have taught/);
  expect(formatDayKey("2026-03-05")).toBe("Thu 5 Mar");
});
