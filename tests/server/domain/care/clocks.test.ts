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

it("of packs on their way for different times the quickest counts", () => {
  const quickest = -1000;
  const lag = fc.integer({ min: -minute, max: quickest });
  fc.assert(
    fc.property(fc.array(lag, { minLength: 20, maxLength: 20 }), (lags) => {
      const times = packs(10, () => quickest).map((time, index) => ({
        ...time,
        aheadMs: lags[index] ?? quickest,
      }));
      expect(clockAheadMs(times, nowMs)).toBe(Math.max(...lags));
    }),
  );
});
