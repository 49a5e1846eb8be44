// Tests what the times in a board's packs tell of its clock.
import fc from "fast-check";
import { expect, it } from "vitest";
import { clockAheadMs } from "../../../../server/domain/care/clocks.ts";

const nowMs = Date.UTC(2026, 2, 14, 15);
const minute = 60_000;
/** One pack each half minute over the last `minutes`. */
const packs = (minutes: number, aheadAt: (agoMs: number) => number) =>
  Array.from({ length: minutes * 2 }, (_, index) => {
    const agoMs = (minutes * 2 - 1 - index) * 30_000;
    return { atMs: nowMs - agoMs, aheadMs: aheadAt(agoMs) };
  });

it("nothing heard tells nothing, nor does what was heard long ago", () => {
  expect(clockAheadMs([], nowMs)).toBeNull();
  expect(clockAheadMs([{ atMs: nowMs - 11 * minute, aheadMs: 9e6 }], nowMs)).toBeNull();
});

it("one pack from the future is enough", () => {
  expect(clockAheadMs([{ atMs: nowMs, aheadMs: 5 * minute }], nowMs)).toBe(5 * minute);
});

it("once right packs come, one from the future no longer counts a minute and a half later", () => {
  const wrongAtMs = nowMs - 4 * minute;
  const right = (fromMs: number) =>
    packs(10, () => -300).filter(({ atMs }) => atMs > wrongAtMs && atMs <= wrongAtMs + fromMs);
  const wrong = { atMs: wrongAtMs, aheadMs: 24 * 60 * minute };
  const after = (ms: number) => clockAheadMs([wrong, ...right(ms)], wrongAtMs + ms);
  expect(after(minute)).toBe(24 * 60 * minute);
  expect(after(2 * minute)).toBe(-300);
});

it("one pack of nearly now is enough for a clock that agrees", () => {
  expect(clockAheadMs([{ atMs: nowMs, aheadMs: -400 }], nowMs)).toBe(-400);
});

it("a clock that is behind by the same all the time is told, a backlog that catches up is not", () => {
  expect(
    clockAheadMs(
      packs(10, () => -40 * minute),
      nowMs,
    ),
  ).toBe(-40 * minute);
  const backlog = packs(10, (agoMs) => -agoMs * 20 - 40 * minute);
  expect(clockAheadMs(backlog, nowMs)).toBeNull();
  expect(
    clockAheadMs(
      packs(1, () => -40 * minute),
      nowMs,
    ),
  ).toBeNull();
});

it("of packs on their way for different times the quickest of late counts", () => {
  const quickest = -1000;
  const lateCount = 4;
  const lag = fc.integer({ min: -minute, max: quickest });
  fc.assert(
    fc.property(fc.array(lag, { minLength: 20, maxLength: 20 }), (lags) => {
      const times = packs(10, () => quickest).map((time, index) => ({
        ...time,
        aheadMs: lags[index] ?? quickest,
      }));
      expect(clockAheadMs(times, nowMs)).toBe(Math.max(...lags.slice(-lateCount)));
    }),
  );
});
