// What to do now: each kind of work, its time, and its place in the order.
import { describe, expect, it } from "vitest";
import type { BrimDecision } from "../../../server/domain/brim/decide.ts";
import { type BucketSummary, type DoNowInput, doNow } from "../../../server/domain/do-now.ts";
import { hourMs, nowMs } from "./brim/fixtures.ts";

const visits = { nextMs: nowMs + hourMs, afterMs: nowMs + 5 * hourMs, overnight: false };

function decisionOf(changes: Partial<BrimDecision> = {}, t10Ms: number | null = null) {
  return {
    brim: { probability: 0, t10Ms, t50Ms: null, t90Ms: null },
    beforeAfterProbability: 0,
    warn: false,
    urgent: false,
    overnight: false,
    ...changes,
  };
}

function keepingUntil(boilByMs: number | null) {
  return { sapTempC: 5, iceFraction: 0, spentFraction: 0.3, boilByMs, risk: "fresh" as const };
}

function bucket(id: string, changes: Partial<BucketSummary> = {}): BucketSummary {
  return {
    id,
    state: "resting",
    netG: 5000,
    decision: decisionOf(),
    warned: false,
    keeping: null,
    doubt: null,
    ...changes,
  };
}

const partsOf = (buckets: BucketSummary[], changes: Partial<DoNowInput> = {}) =>
  doNow({ buckets, newCells: [], nowMs, visits, ...changes });

describe("do now", () => {
  it("gathers what is warned of by the early time, with the litres of all", () => {
    const warned = (t10Ms: number) => ({ decision: decisionOf({ warn: true }, t10Ms) });
    const [part, ...rest] = partsOf([
      bucket("a", warned(nowMs + 4 * hourMs)),
      bucket("b", warned(nowMs + 3 * hourMs)),
      bucket("c"),
    ]);
    expect(part).toMatchObject({ verb: "gather", bucketIds: ["a", "b"], byMs: nowMs + 3 * hourMs });
    expect(part?.volumeL).toBeCloseTo(10 / 1.00791, 3);
    expect(rest).toEqual([]);
  });

  it("does not take a warning back that is still open", () => {
    expect(partsOf([bucket("a", { warned: true })])[0]).toMatchObject({ verb: "gather" });
    expect(partsOf([bucket("a", { warned: true, state: "away" })])[0]?.verb).not.toBe("gather");
  });

  it("puts what is at the rim or urgent first, and now", () => {
    const parts = partsOf([
      bucket("soon", { decision: decisionOf({ warn: true }, nowMs + 4 * hourMs) }),
      bucket("full", { state: "brimful" }),
      bucket("urgent", { decision: decisionOf({ warn: true, urgent: true }) }),
    ]);
    expect(parts.map(({ bucketIds }) => bucketIds)).toEqual([["full", "urgent"], ["soon"]]);
    expect(parts[0]?.byMs).toBe(nowMs);
  });

  it("gathers before the night what may brim over in it", () => {
    const overnight = { nextMs: nowMs + hourMs, afterMs: nowMs + 12 * hourMs, overnight: true };
    const warned = { decision: decisionOf({ warn: true }, nowMs + 8 * hourMs) };
    expect(partsOf([bucket("a", warned)], { visits: overnight })[0]?.byMs).toBe(nowMs + hourMs);
  });

  it("asks to come in between, not to gather, where there is next to nothing to pour yet", () => {
    const icy = { netG: 600, keeping: { ...keepingUntil(null), iceFraction: 0.98 } };
    for (const little of [{ netG: 400 }, icy]) {
      const parts = partsOf([bucket("a", { ...little, warned: true }), bucket("b")]);
      expect(parts).toMatchObject([{ verb: "look", bucketIds: ["a"] }]);
      expect(parts[0]?.reason).toContain("come in between");
    }
    const atRim = bucket("a", { ...icy, state: "brimful" });
    expect(partsOf([atRim])[0]?.verb).toBe("gather");
  });

  it("does not gather on the word of what can't be judged", () => {
    for (const state of ["parked", "doubtful", "away"] as const) {
      const parts = partsOf([bucket("a", { state, decision: decisionOf({ warn: true }) })]);
      expect(parts.some(({ verb }) => verb === "gather")).toBe(false);
    }
  });

  it("boils what does not keep two more days, the oldest first", () => {
    const parts = partsOf([
      bucket("past", { keeping: keepingUntil(nowMs - hourMs) }),
      bucket("near", { keeping: keepingUntil(nowMs + 48 * hourMs) }),
      bucket("far", { keeping: keepingUntil(nowMs + 49 * hourMs) }),
      bucket("drop", { keeping: keepingUntil(nowMs + hourMs), netG: 499 }),
      bucket("cold", { keeping: keepingUntil(null) }),
    ]);
    expect(parts.map(({ verb, bucketIds }) => [verb, ...bucketIds])).toEqual([
      ["boil", "past"],
      ["boil", "near"],
    ]);
  });

  it("names first what is due first, be it in buckets or in a vessel", () => {
    const vessel = { parked: false, volumeL: 75 };
    const barrel = { ...vessel, id: "barrel", keeping: keepingUntil(nowMs + 20 * hourMs) };
    const firsts = [10, 30].map(
      (hours) =>
        partsOf([bucket("near", { keeping: keepingUntil(nowMs + hours * hourMs) })], {
          vessels: [barrel],
        })[0],
    );
    expect(firsts.map((part) => part?.vesselIds ?? part?.bucketIds)).toEqual([
      ["near"],
      ["barrel"],
    ]);
  });

  it("looks at the silent and the doubtful, with the reason", () => {
    const parts = partsOf([
      bucket("a", { state: "silent" }),
      bucket("b", { state: "doubtful", doubt: "stuck" }),
      bucket("c", { state: "doubtful" }),
    ]);
    expect(parts.slice(0, 3).map(({ bucketIds, reason }) => [bucketIds[0], reason])).toEqual([
      ["a", "no readings come any more"],
      ["b", "stuck"],
      ["c", "its readings make no sense"],
    ]);
  });

  it("sets up what is newly heard, after all other work but waiting", () => {
    const one = ["hill/cell-3"];
    const two = [...one, "hill/cell-4"];
    const parts = partsOf([bucket("a", { state: "brimful" })], { newCells: one });
    expect(parts.map(({ verb }) => verb)).toEqual(["gather", "set-up"]);
    expect(parts[1]?.reason).toBe("hill/cell-3 is weighing something and carries no bucket yet");
    expect(partsOf([], { newCells: two })).toMatchObject([
      { verb: "set-up", reason: "hill/cell-3 and 1 more carry no bucket yet" },
    ]);
  });

  it("waits until the first that may need work, and says why", () => {
    const early = bucket("a", { decision: decisionOf({}, nowMs + 20 * hourMs) });
    expect(partsOf([early, bucket("b")])).toMatchObject([
      { verb: "wait", byMs: nowMs + 20 * hourMs },
    ]);
    const spoils = bucket("b", { keeping: keepingUntil(nowMs + 60 * hourMs) });
    expect(partsOf([spoils])).toMatchObject([{ verb: "wait", byMs: nowMs + 60 * hourMs }]);
    const barrel = { id: "barrel", parked: false, volumeL: 75 };
    const keeps = { ...barrel, keeping: keepingUntil(nowMs + 55 * hourMs) };
    expect(partsOf([spoils], { vessels: [keeps] })).toMatchObject([
      { verb: "wait", byMs: nowMs + 55 * hourMs },
    ]);
    const dreg = bucket("b", { netG: 300, keeping: keepingUntil(nowMs + hourMs) });
    expect(partsOf([dreg])).toMatchObject([{ verb: "wait", byMs: null }]);
    expect(partsOf([bucket("a")])).toMatchObject([
      { verb: "wait", byMs: null, reason: "no bucket is likely to brim over in the next 36 h" },
    ]);
  });

  it("promises nothing before any bucket is heard", () => {
    const unheard = bucket("a", { state: "unheard", decision: null, netG: null });
    expect(partsOf([unheard])[0]?.reason).toBe("no bucket has been heard yet");
    expect(partsOf([])[0]?.reason).toBe("no bucket is hung yet");
    expect(partsOf([bucket("a", { state: "parked" })])[0]?.reason).toBe("no bucket is hung yet");
  });
});
