// The page's state: the whole yard, then changes on top of it, and the link.
import { describe, expect, it } from "vitest";
import { changedYard, emptyState, nextState } from "../../web/state.ts";
import { nowMs, sampleAlarm, sampleBucket, sampleYard } from "./sample-yard.ts";

const withYard = nextState(emptyState, { type: "yard", view: sampleYard(), pageMs: 10 });

describe("the page's state", () => {
  it("starts by joining, with no yard and no time", () => {
    expect(emptyState).toMatchObject({ link: "joining", yard: undefined, clock: undefined });
  });

  it("takes the whole yard and the server's time from it", () => {
    expect(withYard.link).toBe("live");
    expect(withYard.clock).toEqual({ yardMs: nowMs, pageMs: 10, speed: 1 });
    expect(withYard.freshMs).toBe(nowMs);
  });

  it("keeps the figures when the link is lost", () => {
    const lost = nextState(withYard, { type: "lost" });
    expect(lost.link).toBe("lost");
    expect(lost.yard).toBe(withYard.yard);
    expect(lost.freshMs).toBe(nowMs);
    expect(nextState(lost, { type: "yard", view: sampleYard(), pageMs: 20 }).link).toBe("live");
  });

  it("shows what was kept as lost and as old as it is, never over live figures", () => {
    const agoMs = 90_000;
    const kept = { type: "kept" as const, view: sampleYard(), pageMs: 5, agoMs };
    const shown = nextState(emptyState, kept);
    expect(shown.link).toBe("lost");
    expect(shown.freshMs).toBe(nowMs);
    expect(shown.clock).toEqual({ yardMs: nowMs + agoMs, pageMs: 5, speed: 1 });
    expect(nextState(withYard, kept)).toBe(withYard);
    const ahead = nextState(emptyState, { ...kept, agoMs: -5000 });
    expect(ahead.clock?.yardMs).toBe(nowMs);
  });

  it("remembers that a newer page is there when figures come", () => {
    const outdated = nextState(withYard, { type: "outdated" });
    const next = nextState(outdated, { type: "yard", view: sampleYard(), pageMs: 20 });
    expect(next.isOutdated).toBe(true);
  });

  it("is still joining when the first try fails", () => {
    expect(nextState(emptyState, { type: "lost" }).link).toBe("joining");
  });

  it("drops a change that comes before the whole yard", () => {
    const change = { nowMs: nowMs + 1 };
    expect(nextState(emptyState, { type: "change", change, pageMs: 1 })).toBe(emptyState);
  });

  it("sets its clock anew with each change", () => {
    const change = { nowMs: nowMs + 5000 };
    const next = nextState(withYard, { type: "change", change, pageMs: 20 });
    expect(next.clock).toEqual({ yardMs: nowMs + 5000, pageMs: 20, speed: 1 });
    expect(next.freshMs).toBe(nowMs + 5000);
  });
});

describe("a change of the yard", () => {
  const yard = sampleYard({
    buckets: [sampleBucket(), sampleBucket({ id: "well", label: "Well" })],
    alarms: [sampleAlarm()],
  });

  it("replaces the buckets it names, adds new ones and leaves the others as they are", () => {
    const gate = sampleBucket({ volumeL: 7 });
    const spring = sampleBucket({ id: "spring" });
    const next = changedYard(yard, { nowMs, buckets: [gate, spring] });
    expect(next.buckets.map(({ id }) => id)).toEqual(["gate", "well", "spring"]);
    expect(next.buckets[0]).toBe(gate);
    expect(next.buckets[1]).toBe(yard.buckets[1]);
  });

  it("takes away the buckets that are gone", () => {
    const next = changedYard(yard, { nowMs, gone: ["gate"] });
    expect(next.buckets.map(({ id }) => id)).toEqual(["well"]);
  });

  it("replaces an alarm by its number and does not lose the others", () => {
    const cleared = sampleAlarm({ clearedAtMs: nowMs });
    const second = sampleAlarm({ id: 2 });
    const next = changedYard(yard, { nowMs, alarms: [cleared, second] });
    expect(next.alarms).toEqual([cleared, second]);
  });

  it("lets go of an alarm that is no longer told, and keeps them all while none changed", () => {
    const second = sampleAlarm({ id: 2 });
    expect(changedYard(yard, { nowMs, alarms: [second] }).alarms).toEqual([second]);
    expect(changedYard(yard, { nowMs, alarms: [] }).alarms).toEqual([]);
    expect(changedYard(yard, { nowMs }).alarms).toBe(yard.alarms);
  });

  it("leaves the given yard untouched", () => {
    const before = structuredClone(yard);
    changedYard(yard, { nowMs: nowMs + 1, gone: ["gate"], alarms: [sampleAlarm({ id: 9 })] });
    expect(yard).toEqual(before);
  });
});
