// The demo's clock: it stands until it is told to run, then runs at its speed and never back.
import { expect, it } from "vitest";
import { scaledClockMs } from "../../shared/scaled-clock.ts";

it("stands still until it runs", () => {
  const held = { heldAtMs: 5_000, runsFromRealMs: undefined, speed: 600 };
  expect(scaledClockMs({ realNowMs: 1, ...held })).toBe(5_000);
  expect(scaledClockMs({ realNowMs: 9_999_999, ...held })).toBe(5_000);
});

it("runs from the real time it is told, so many times as fast, and not before", () => {
  const running = { heldAtMs: 5_000, runsFromRealMs: 1_000, speed: 600 };
  expect(scaledClockMs({ realNowMs: 400, ...running })).toBe(5_000);
  expect(scaledClockMs({ realNowMs: 1_000, ...running })).toBe(5_000);
  expect(scaledClockMs({ realNowMs: 1_050, ...running })).toBe(5_000 + 30_000);
});
