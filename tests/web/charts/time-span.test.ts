// Moving and zooming stays within its limits, and keeps in place what the hand is on.
import fc from "fast-check";
import { expect, it } from "vitest";
import { createSpanControl } from "../../../web/charts/span-control.ts";
import { askedSpan, wholeSpan } from "../../../web/charts/steps.ts";
import { keptWithin, lengthOf, movedSpan, zoomedSpan } from "../../../web/charts/time-span.ts";
import { moveOfKey, moveSpan } from "../../../web/charts/use-time-window.ts";

const dayMs = 86_400_000;
const limits = { fromMs: 0, toMs: 60 * dayMs, shortestMs: 1_800_000 };
const spans = fc
  .tuple(fc.integer({ min: -9e9, max: 9e9 }), fc.integer({ min: 0, max: 9e9 }))
  .map(([fromMs, lengthMs]) => ({ fromMs, toMs: fromMs + lengthMs }));

it("whatever is asked for, the span shown lies within its limits and is not too short", () => {
  fc.assert(
    fc.property(spans, fc.double({ min: 0.01, max: 50, noNaN: true }), (span, factor) => {
      const kept = keptWithin(span, limits);
      for (const shown of [
        kept,
        movedSpan(kept, span.fromMs, limits),
        zoomedSpan(kept, { factor, atMs: kept.fromMs + lengthOf(kept) / 3 }, limits),
      ]) {
        expect(shown.fromMs).toBeGreaterThanOrEqual(-1);
        expect(shown.toMs).toBeLessThanOrEqual(limits.toMs + 1);
        expect(lengthOf(shown)).toBeGreaterThanOrEqual(limits.shortestMs - 1);
      }
    }),
  );
});

it("what is under the hand stays there while zooming", () => {
  const span = { fromMs: 20 * dayMs, toMs: 30 * dayMs };
  const atMs = 22 * dayMs;
  const closer = zoomedSpan(span, { factor: 0.5, atMs }, limits);
  expect((atMs - closer.fromMs) / lengthOf(closer)).toBeCloseTo(0.2, 9);
  expect(lengthOf(closer)).toBe(5 * dayMs);
});

it("keys and buttons move by a third, zoom by two, and go to the ends", () => {
  const control = createSpanControl(
    { span: { fromMs: 30 * dayMs, toMs: 33 * dayMs }, limits },
    () => undefined,
  );
  const after = (move: Parameters<typeof moveSpan>[1]) => {
    moveSpan(control, move);
    return [control.span().fromMs / dayMs, control.span().toMs / dayMs];
  };
  expect(after("earlier")).toEqual([29, 32]);
  expect(after("wider")).toEqual([27.5, 33.5]);
  expect(after("closer")).toEqual([29, 32]);
  expect(after("end")).toEqual([57, 60]);
  expect(after("begin")).toEqual([0, 3]);
  expect(moveOfKey({ key: "ArrowLeft", shiftKey: true })).toBe("earlier");
  expect(moveOfKey({ key: "ArrowLeft", shiftKey: false })).toBeUndefined();
  expect(moveOfKey({ key: "+", shiftKey: true })).toBe("closer");
});

it("no question asks for more than 1,500 steps, nor for what isn't known yet", () => {
  const knownMs = { fromMs: 0, toMs: 60 * dayMs };
  const lengths = fc.integer({ min: 1_800_000, max: 60 * dayMs });
  fc.assert(
    fc.property(lengths, fc.integer({ min: 0, max: 60 * dayMs }), (lengthMs, fromMs) => {
      const span = { fromMs, toMs: fromMs + lengthMs };
      const asked = askedSpan(span, { knownMs, leastStepMs: 30_000 });
      expect(lengthOf(asked) / asked.stepMs).toBeLessThanOrEqual(1500);
      expect(asked.toMs).toBeLessThanOrEqual(knownMs.toMs + asked.stepMs);
      expect(Math.abs(asked.fromMs % asked.stepMs)).toBe(0);
      expect(asked.fromMs).toBeLessThanOrEqual(Math.max(fromMs, 0));
    }),
  );
  const whole = wholeSpan(knownMs);
  expect(lengthOf(whole) / whole.stepMs).toBeLessThanOrEqual(1500);
});
