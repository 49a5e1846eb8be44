// The one sentence on top: every verb, its time, and no more said than the parts know.
import { describe, expect, it } from "vitest";
import { doNowSentence } from "../../../shared/people/sentence.ts";
import type { DoNowPart } from "../../../shared/wire/api.ts";

const at = (local: string) => Date.parse(`2026-03-${local}:00-04:00`);
const context = {
  units: "metric" as const,
  timeZone: "America/Toronto",
  nowMs: at("14T12:00"),
  labelOf: (bucketId: string) => bucketId.charAt(0).toUpperCase() + bucketId.slice(1),
};

function partOf(changes: Partial<DoNowPart>): DoNowPart {
  return { verb: "gather", bucketIds: [], byMs: null, volumeL: null, reason: "", ...changes };
}

const say = (...parts: Partial<DoNowPart>[]) => doNowSentence(parts.map(partOf), context);

describe("the sentence", () => {
  it("says what to gather and boil, and by when", () => {
    const gather = { bucketIds: ["gate", "well", "spring"], byMs: at("14T16:00") };
    const boil = { verb: "boil" as const, bucketIds: ["orchard"], byMs: at("19T12:20") };
    expect(say(gather, boil)).toBe(
      "Gather Gate, Well and Spring before 16:00; boil what stands in Orchard by Thursday noon.",
    );
  });

  it("tells the litres in the yard's units, as about", () => {
    const part = partOf({ bucketIds: ["gate"], byMs: at("14T16:00"), volumeL: 8.3 });
    expect(doNowSentence([part], context)).toBe("Gather Gate before 16:00 (about 8.3 L).");
    expect(doNowSentence([part], { ...context, units: "us" })).toContain("(about 2.19 gal)");
  });

  it("says now for what is due or late", () => {
    expect(say({ bucketIds: ["gate"], byMs: context.nowMs })).toBe("Gather Gate now.");
    expect(say({ verb: "boil", bucketIds: ["gate"], byMs: at("13T12:00") })).toBe(
      "Boil what stands in Gate now.",
    );
    expect(say({ bucketIds: ["gate"] })).toBe("Gather Gate.");
  });

  it("gives the reason for looking, setting up and waiting", () => {
    expect(say({ verb: "look", bucketIds: ["gate"], reason: "no readings come any more" })).toBe(
      "Look at Gate: no readings come any more.",
    );
    expect(say({ verb: "set-up", reason: "hill/cell-3 is weighing 1.2 kg" })).toBe(
      "Set up what is newly heard: hill/cell-3 is weighing 1.2 kg.",
    );
    const reason = "no bucket is likely to brim over earlier";
    expect(say({ verb: "wait", byMs: at("15T08:10"), reason })).toBe(
      "Nothing to do until tomorrow 8:00: no bucket is likely to brim over earlier.",
    );
    expect(say({ verb: "wait", reason: "no bucket is hung yet" })).toBe(
      "Nothing to do: no bucket is hung yet.",
    );
  });

  it("names few buckets and few things, the most urgent first", () => {
    expect(say({ bucketIds: ["a", "b", "c", "d", "e"] })).toBe("Gather A, B, C and 2 more.");
    expect(say({ bucketIds: ["a", "b", "c", "d"] })).toBe("Gather A, B, C and D.");
    const clauses = say(...["a", "b", "c", "d"].map((id) => ({ bucketIds: [id] })));
    expect(clauses).toBe("Gather A; gather B; gather C.");
  });

  it("claims nothing when there are no parts", () => {
    expect(say()).toBe("Nothing to do that the cells know of.");
  });
});
