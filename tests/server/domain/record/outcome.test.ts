// What came of a forecast: run over or not, when, and how much came, whoever emptied the bucket.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { outcomeOf } from "../../../../server/domain/record/outcome.ts";

const fromMs = Date.parse("2026-03-14T12:00:00Z");
const slotMs = 600_000;
const hourMs = 3_600_000;

const slots = (gPerSlot: number, count = 144) =>
  Array.from({ length: count }, (_, index) => ({
    atMs: fromMs + (index + 1) * slotMs,
    inflowG: gPerSlot,
    full: false,
  }));

describe("the outcome of a forecast", () => {
  it("runs over in the ten minutes in which what came fills the room", () => {
    const outcome = outcomeOf(slots(50), { fromMs, roomG: 1000 });
    expect(outcome).toEqual({ came12G: 72 * 50, overMs: fromMs + 20 * slotMs, weighed: true });
    expect(outcomeOf(slots(50), { fromMs, roomG: 50 * 144 + 1 }).overMs).toBeNull();
  });

  it("runs over at the rim even if less was weighed than should have fitted", () => {
    const seen = slots(10).map((slot, index) => ({ ...slot, full: index === 30 }));
    expect(outcomeOf(seen, { fromMs, roomG: 9000 }).overMs).toBe(fromMs + 31 * slotMs);
  });

  it("is not told when too little was weighed, unless it ran over in what was", () => {
    expect(outcomeOf(slots(1, 100), { fromMs, roomG: 5000 }).weighed).toBe(false);
    expect(outcomeOf(slots(1, 135), { fromMs, roomG: 5000 }).weighed).toBe(true);
    expect(outcomeOf(slots(100, 60), { fromMs, roomG: 5000 })).toMatchObject({
      weighed: true,
      overMs: fromMs + 50 * slotMs,
    });
    expect(outcomeOf([], { fromMs, roomG: 1 })).toEqual({
      came12G: 0,
      overMs: null,
      weighed: false,
    });
  });

  it("comes no earlier the more room there is", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 90, noNaN: true }), { minLength: 144, maxLength: 144 }),
        fc.double({ min: 1, max: 5000, noNaN: true }),
        fc.double({ min: 0, max: 5000, noNaN: true }),
        (inflows, roomG, moreG) => {
          const seen = slots(0).map((slot, index) => ({ ...slot, inflowG: inflows[index] ?? 0 }));
          const tight = outcomeOf(seen, { fromMs, roomG }).overMs ?? Number.POSITIVE_INFINITY;
          const wide = outcomeOf(seen, { fromMs, roomG: roomG + moreG }).overMs;
          expect(wide ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(tight);
          expect(tight).toBeGreaterThan(fromMs - hourMs);
        },
      ),
    );
  });
});
