// When a bucket brims over in words: no finer than it is known, the day said once.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { brimSentence, oddsWords, steadyWords } from "../../../shared/people/brim-words.ts";

const at = (local: string) => Date.parse(`2026-03-${local}:00-04:00`);
const time = { nowMs: at("11T15:40"), timeZone: "America/New_York" };
const minuteMs = 60_000;

describe("the brim time in words", () => {
  it("is said to five minutes where it is known well, else to a quarter or half an hour", () => {
    const said = (early: string, middle: string, late: string) =>
      brimSentence(
        { probability: 0.9, t10Ms: at(early), t50Ms: at(middle), t90Ms: at(late) },
        time,
      );
    expect(said("11T16:03", "11T16:21", "11T16:42")).toBe(
      "Brims about 16:20, likely 16:00 to 16:45",
    );
    expect(said("11T17:20", "11T18:40", "11T20:50")).toBe(
      "Brims about 18:45, likely 17:15 to 21:00",
    );
    expect(said("12T09:57", "12T11:49", "12T17:37")).toBe(
      "Brims about tomorrow 12:00, likely 9:30 to 18:00",
    );
    expect(said("11T22:10", "12T04:10", "12T11:10")).toBe(
      "Brims about tomorrow 4:00, likely today 22:00 to tomorrow 11:30",
    );
  });

  it("leaves the late end open when it may never brim", () => {
    const open = { probability: 0.6, t10Ms: at("11T16:40"), t50Ms: at("11T18:00"), t90Ms: null };
    expect(brimSentence(open, time)).toBe("Brims about 18:00, hardly before 16:30");
  });

  it("speaks of a chance when brimming is unlikely", () => {
    const unlikely = { probability: 0.125, t10Ms: at("11T16:40"), t50Ms: null, t90Ms: null };
    expect(brimSentence(unlikely, time)).toBe("May brim from 16:30, 1 chance in 8");
    expect(brimSentence({ ...unlikely, t10Ms: null }, time)).toBe(
      "1 chance in 8 that it brims over before you come",
    );
  });

  it("says so when the middle time or the early one has passed", () => {
    const passed = { probability: 1, t10Ms: at("11T14:00"), t50Ms: at("11T15:39"), t90Ms: null };
    expect(brimSentence(passed, time)).toBe("Brims any moment");
    const begun = { ...passed, t50Ms: at("11T16:00"), t90Ms: at("11T17:00") };
    expect(brimSentence(begun, time)).toBe("Brims about 16:00, likely now to 17:00");
  });

  it("never makes the span narrower than it is known", () => {
    const minutes = fc.integer({ min: 1, max: 400 });
    fc.assert(
      fc.property(minutes, minutes, minutes, (a, b, c) => {
        const t10Ms = time.nowMs + a * minuteMs;
        const t50Ms = t10Ms + b * minuteMs;
        const t90Ms = t50Ms + c * minuteMs;
        const text = brimSentence({ probability: 0.9, t10Ms, t50Ms, t90Ms }, time);
        const [, early, late] =
          /likely (?:now|(?:today )?(\d+:\d+)) to (?:\S+ )?(\d+:\d+)$/.exec(text) ?? [];
        const dayMinute = (clock: string) => {
          const [hour = 0, minute = 0] = clock.split(":").map(Number);
          return hour * 60 + minute;
        };
        const local = (ms: number) => Math.floor((ms - at("11T00:00")) / minuteMs);
        if (early !== undefined) expect(dayMinute(early)).toBeLessThanOrEqual(local(t10Ms) % 1440);
        const lateMinute = dayMinute(late as string);
        const shownLate = lateMinute + (lateMinute < local(t90Ms) % 1440 ? 1440 : 0);
        expect(shownLate - (local(t90Ms) % 1440)).toBeLessThanOrEqual(30);
      }),
    );
  });
});

it("chances are said as people say them, never below one in a hundred", () => {
  expect([0, 0.14, 0.5, 0.7, 0.95].map(oddsWords)).toEqual([
    "1 chance in 100",
    "1 chance in 7",
    "As likely as not",
    "Likely",
    "Almost sure",
  ]);
});

describe("the simple sum", () => {
  const said = (volumeL: number | null, flowLPerH: number | null, capacityL = 12) =>
    steadyWords({ volumeL, capacityL, flowLPerH }, time);
  it("is the room divided by the flow of now", () => {
    expect(said(10, 0.5)).toBe("full about 19:30 if it ran on as now");
    expect(said(11.5, 0.5)).toBe("full about 16:40 if it ran on as now");
    expect(said(6, 0.4)).toBe("full about tomorrow 6:30 if it ran on as now");
    expect(said(1, 0.1)).toBe("not full within two days if it ran on as now");
  });

  it("is nothing without a flow, a weight or room", () => {
    expect([said(10, null), said(10, 0.01), said(null, 0.5), said(12.1, 0.5)]).toEqual(
      Array.from({ length: 4 }),
    );
  });
});
