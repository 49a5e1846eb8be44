// How far back curves look.
import { expect, it } from "vitest";
import { spanNames, spanOf } from "../../../web/charts/spans.ts";
import { hourMs, nowMs } from "../sample-yard.ts";

const timeZone = "America/New_York";
const dayMs = 24 * hourMs;
const seasonFrom = (firstReadingMs: number | null) =>
  spanOf("season", { nowMs, season: { year: 2026, firstReadingMs }, timeZone }).fromMs;

it("every span ends now", () => {
  const season = { year: 2026, firstReadingMs: nowMs - 30 * dayMs };
  for (const name of spanNames) {
    const span = spanOf(name, { nowMs, season, timeZone });
    expect(span.toMs).toBe(nowMs);
    expect(span.fromMs).toBeLessThanOrEqual(nowMs - dayMs);
  }
});

it("a season starts at its first reading, but shows no less than a day", () => {
  expect(seasonFrom(nowMs - 30 * dayMs)).toBe(nowMs - 30 * dayMs);
  expect(seasonFrom(nowMs - hourMs)).toBe(nowMs - dayMs);
  expect(seasonFrom(null)).toBe(nowMs - 60 * dayMs);
});

it("a season doesn't reach into the year before, on the yard's own calendar", () => {
  expect(seasonFrom(nowMs - 400 * dayMs)).toBe(Date.UTC(2026, 0, 1, 5));
});
