// The evening's digest in words: from nothing to a busy day.
import { expect, test } from "vitest";
import { type EveningYard, eveningWords } from "../../../shared/people/evening-words.ts";
import { sampleAlarm, sampleBucket } from "../../web/sample-yard.ts";

const doNow = { sentence: "Gather Gate before 18:00.", parts: [] };
const bucket = (label: string, todayL: number | null, volumeL: number | null = todayL) =>
  sampleBucket({ id: label.toLowerCase(), label, todayL, volumeL });
const yardWith = (over: Partial<EveningYard>): EveningYard => ({
  ...{ buckets: [], vessels: [], alarms: [], doNow },
  ...over,
});

test("a day is told from what came to what is wrong", () => {
  const buckets = [
    bucket("Gate", 9),
    bucket("Well", 4.2),
    bucket("Spring", 6),
    bucket("Dell", 0.4),
  ];
  const settled = sampleAlarm({ clearedAtMs: 1, text: "over" });
  const alarms = [sampleAlarm({ text: "Gate brims over by 16:40" }), settled];
  expect(eveningWords(yardWith({ buckets, alarms }), "metric")).toEqual({
    title: "This evening: 20 L of sap came today",
    text: [
      "20 L of sap came today, most from Gate (9.0 L), Spring (6.0 L) and Well (4.2 L).",
      "Now there are 20 L in the buckets.",
      "Gather Gate before 18:00.",
      "Not settled yet:",
      "- Gate brims over by 16:40",
    ].join("\n"),
  });
});

test("people who think in gallons hear gallons", () => {
  const yard = yardWith({ buckets: [bucket("Gate", 9)] });
  expect(eveningWords(yard, "us")?.title).toBe("This evening: 2.4 gal of sap came today");
});

test("a dry day and one without readings are told apart", () => {
  const dry = eveningWords(yardWith({ buckets: [bucket("Gate", 0.01)] }), "metric");
  expect(dry?.text).toContain("No sap came today.\nNow there are 0.0 L in the buckets.");
  expect(dry?.text).toContain("Nothing is wrong that the cells know of.");
  const unheard = eveningWords(yardWith({ buckets: [bucket("Gate", null)] }), "metric");
  expect(unheard?.title).toBe("This evening: no bucket was weighed today");
});

test("without a bucket for sap in use there is nothing to tell", () => {
  const parked = sampleBucket({ state: "parked" });
  const control = sampleBucket({ role: "control" });
  expect(eveningWords(yardWith({ buckets: [parked, control] }), "metric")).toBeUndefined();
});

test("a long list of what is wrong ends in how much more there is", () => {
  const alarms = Array.from({ length: 11 }, (_each, id) =>
    sampleAlarm({ id, text: `Thing ${id}` }),
  );
  const told = eveningWords(yardWith({ buckets: [bucket("Gate", 1)], alarms }), "metric");
  expect(told?.text).toMatch(/- Thing 7\n- and 3 more on the page$/);
});

test("what waits in vessels counts, but not in those put away", () => {
  const vessels = [
    { volumeL: 42, parked: false },
    { volumeL: 7, parked: true },
  ];
  const told = eveningWords(yardWith({ buckets: [bucket("Gate", 1, 3)], vessels }), "metric");
  expect(told?.text).toContain("Now there are 3.0 L in the buckets and 42 L in vessels.");
});
