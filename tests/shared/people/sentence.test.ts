// The one sentence on top: every verb, its time, and no more said than the parts know.
import fc from "fast-check";
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

  it("tells the litres in the yard's units", () => {
    const part = partOf({ bucketIds: ["gate"], byMs: at("14T16:00"), volumeL: 8.3 });
    expect(doNowSentence([part], context)).toBe("Gather Gate (8.3 L) before 16:00.");
    expect(doNowSentence([part], { ...context, units: "us" })).toContain("(2.2 gal)");
  });

  it("tells the litres that are to be boiled, and of which vessel", () => {
    const boil = {
      verb: "boil" as const,
      vesselIds: ["drum"],
      byMs: at("19T12:20"),
      volumeL: 42.3,
    };
    const gather = { bucketIds: ["gate", "well", "spring"], byMs: at("14T16:00") };
    const vesselLabelOf = () => "the blue drum";
    expect(doNowSentence([gather, boil].map(partOf), { ...context, vesselLabelOf })).toBe(
      "Gather Gate, Well and Spring before 16:00; boil the 42 L in the blue drum by Thursday noon.",
    );
  });

  it("puts what is gathered now and later into one clause", () => {
    const now = { bucketIds: ["gate"], byMs: context.nowMs, volumeL: 7.2 };
    const later = { bucketIds: ["well", "spring"], byMs: at("14T16:45"), volumeL: 19.3 };
    const look = { verb: "look" as const, bucketIds: ["orchard"], reason: "no readings come" };
    expect(say(now, later, look)).toBe(
      "Gather Gate (7.2 L) now and Well and Spring (19 L) before 16:45; look at Orchard: no readings come.",
    );
  });

  it("says now for what is due or late", () => {
    expect(say({ bucketIds: ["gate"], byMs: context.nowMs })).toBe("Gather Gate now.");
    expect(say({ verb: "boil", bucketIds: ["gate"], byMs: at("13T12:00") })).toBe(
      "Boil what stands in Gate now, and smell it first.",
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
    const clauses = say(
      ...["a", "b", "c", "d"].map((id) => ({
        verb: "look" as const,
        bucketIds: [id],
        reason: "x",
      })),
    );
    expect(clauses).toBe("Look at A: x; look at B: x; look at C: x.");
  });

  it("claims nothing when there are no parts", () => {
    expect(say()).toBe("Nothing to do that the cells know of.");
  });

  it("over many states is one sentence that names each bucket of its first three parts once", () => {
    const partArbitrary = fc.record({
      verb: fc.constantFrom("gather", "boil", "look", "set-up", "wait") as fc.Arbitrary<
        DoNowPart["verb"]
      >,
      count: fc.integer({ min: 1, max: 3 }),
      byMs: fc.option(fc.integer({ min: at("12T00:00"), max: at("22T00:00") })),
      volumeL: fc.option(fc.double({ min: 0, max: 500, noNaN: true })),
    });
    fc.assert(
      fc.property(
        fc.array(partArbitrary, { minLength: 1, maxLength: 5 }),
        fc.constantFrom("metric" as const, "us" as const),
        (drawn, units) => {
          const parts = drawn.map(({ count, ...rest }, index) => ({
            ...rest,
            bucketIds: Array.from({ length: count }, (_, one) => `b${index}x${one}`),
            reason: "because",
          }));
          const text = doNowSentence(parts, { ...context, units });
          expect(text).toMatch(/^[A-Z].*\.$/);
          expect(text).not.toMatch(/undefined|NaN|null|\.\.| {2}|-0/);
          const named = parts
            .slice(0, 3)
            .filter(({ verb }) => verb !== "set-up" && verb !== "wait")
            .flatMap(({ bucketIds }) => bucketIds.map(context.labelOf));
          expect((text.match(/B\dx\d/g) ?? []).sort()).toEqual(named.sort());
        },
      ),
    );
  });
});
