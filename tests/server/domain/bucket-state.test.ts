// The word for how a bucket is: each one alone, at its limit, and before those that come after it.
import { describe, expect, it } from "vitest";
import { type BucketCircumstances, bucketState } from "../../../server/domain/bucket-state.ts";
import { estimateOf, nowMs, setup } from "./brim/fixtures.ts";

const minuteMs = 60_000;

function stateOf(changes: Partial<BucketCircumstances> = {}) {
  return bucketState({
    nowMs,
    parked: false,
    lastReadingMs: nowMs - 30_000,
    onCellSinceMs: 0,
    expectedIntervalMs: 30_000,
    fault: null,
    estimate: estimateOf(),
    setup,
    iceFraction: 0,
    airC: 3,
    ...changes,
  });
}

describe("bucket state", () => {
  it("rests when nothing holds", () => {
    expect(stateOf()).toBe("resting");
  });

  it("runs when the flow's low bound is over 12 g/h", () => {
    expect(stateOf({ estimate: estimateOf({ lowGPerH: 12 }) })).toBe("resting");
    expect(stateOf({ estimate: estimateOf({ lowGPerH: 12.1 }) })).toBe("running");
  });

  it("is frozen with much ice, or with some in hard frost", () => {
    expect(stateOf({ iceFraction: 0.35 })).toBe("resting");
    expect(stateOf({ iceFraction: 0.36 })).toBe("frozen");
    expect(stateOf({ iceFraction: 0.01, airC: -4.1 })).toBe("frozen");
    expect(stateOf({ iceFraction: 0.01, airC: -4 })).toBe("resting");
    expect(stateOf({ iceFraction: 0, airC: -20 })).toBe("resting");
    expect(stateOf({ iceFraction: 0.2, airC: null })).toBe("resting");
    expect(stateOf({ iceFraction: null, airC: -20 })).toBe("resting");
  });

  it("is silent after three usual intervals, but not within ten minutes", () => {
    const since = (minutes: number, expectedIntervalMs: number) =>
      stateOf({ lastReadingMs: nowMs - minutes * minuteMs, expectedIntervalMs });
    expect(since(10, 30_000)).toBe("resting");
    expect(since(10.1, 30_000)).toBe("silent");
    expect(since(30, 10 * minuteMs)).toBe("resting");
    expect(since(30.1, 10 * minuteMs)).toBe("silent");
  });

  it("is given that long again on a cell that it was just hung on", () => {
    const hungBefore = (minutes: number) =>
      stateOf({ lastReadingMs: nowMs - 3_600_000, onCellSinceMs: nowMs - minutes * minuteMs });
    expect(hungBefore(10)).toBe("unheard");
    expect(hungBefore(10.1)).toBe("silent");
  });

  it("is doubtful by the board's fault or the filter's doubt", () => {
    expect(stateOf({ fault: "saturated" })).toBe("doubtful");
    expect(stateOf({ estimate: estimateOf({ doubt: "stuck" }) })).toBe("doubtful");
    expect(stateOf({ estimate: null, fault: "absent" })).toBe("doubtful");
  });

  it("is unheard before the first reading and while too few came", () => {
    expect(stateOf({ lastReadingMs: null })).toBe("unheard");
    expect(stateOf({ estimate: null })).toBe("unheard");
  });

  it("is brimful at the rim by mass or by the filter's word", () => {
    expect(stateOf({ estimate: estimateOf({ netG: setup.capacityG }) })).toBe("brimful");
    expect(stateOf({ estimate: estimateOf({ netG: setup.capacityG - 1 }) })).toBe("resting");
    expect(stateOf({ estimate: estimateOf({ full: true }) })).toBe("brimful");
  });

  it("is the first that holds", () => {
    const running = { lowGPerH: 50, netG: setup.capacityG };
    const all: Partial<BucketCircumstances> = {
      parked: true,
      lastReadingMs: null,
      fault: "absent",
      iceFraction: 1,
      estimate: estimateOf({ ...running, away: true }),
    };
    expect(stateOf(all)).toBe("parked");
    const hung = { ...all, parked: false };
    expect(stateOf(hung)).toBe("unheard");
    expect(stateOf({ ...hung, lastReadingMs: 0 })).toBe("silent");
    const heard = { ...hung, lastReadingMs: nowMs };
    expect(stateOf(heard)).toBe("doubtful");
    const sound = { ...heard, fault: null };
    expect(stateOf(sound)).toBe("away");
    expect(stateOf({ ...sound, estimate: estimateOf(running) })).toBe("brimful");
    expect(stateOf({ ...sound, estimate: estimateOf({ lowGPerH: 50 }) })).toBe("frozen");
  });
});
