// What is said of the season's end, from nothing heard to likely.
import { expect, it } from "vitest";
import { endingWords } from "../../../web/parts/season-hints.tsx";

const hint = { kind: "buds", sure: "weak", text: "buds" } as const;

it("says how likely the end is only where a hint speaks for it", () => {
  expect(endingWords({ probability: 0.05, frostThawDays: 3, hints: [] })).toContain(
    "with 3 days of",
  );
  expect(endingWords({ probability: 0.05, frostThawDays: 30, hints: [] })).toBe(
    "Nothing speaks for it so far.",
  );
  expect(endingWords({ probability: 0.1, frostThawDays: 30, hints: [hint] })).toContain("little");
  expect(endingWords({ probability: 0.3, frostThawDays: 30, hints: [hint] })).toContain("near");
  expect(endingWords({ probability: 0.7, frostThawDays: 30, hints: [hint] })).toContain("may well");
});
