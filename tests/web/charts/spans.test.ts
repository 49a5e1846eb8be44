// How far back curves look.
import { expect, it } from "vitest";
import { spanNames, spanOf } from "../../../web/charts/spans.ts";
import { hourMs, nowMs } from "../sample-yard.ts";

it("every span ends now and stays under the 1,500 steps of one answer", () => {
  for (const name of spanNames) {
    const span = spanOf(name, { nowMs, firstReadingMs: nowMs - 90 * 24 * hourMs });
    expect(span.toMs).toBe(nowMs);
    expect((span.toMs - span.fromMs) / span.stepMs).toBeLessThanOrEqual(1500);
  }
});

it("a season starts at its first reading, but shows no less than a day", () => {
  const early = nowMs - 30 * 24 * hourMs;
  expect(spanOf("season", { nowMs, firstReadingMs: early }).fromMs).toBe(early);
  const young = spanOf("season", { nowMs, firstReadingMs: nowMs - hourMs });
  expect(young.toMs - young.fromMs).toBe(24 * hourMs);
});
