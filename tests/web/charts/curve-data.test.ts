// What stands beside the lines: frost, thaw and marks.
import { describe, expect, it } from "vitest";
import { airSpans, marksFromEvents } from "../../../web/charts/curve-data.ts";
import { hourMs, nowMs, sampleCurve } from "../sample-yard.ts";

describe("frost and thaw", () => {
  it("meet at the crossing of 0 between two readings", () => {
    const frost = airSpans(sampleCurve(), "frost");
    const thaw = airSpans(sampleCurve(), "thaw");
    expect(frost).toEqual([
      { fromMs: nowMs, toMs: nowMs + hourMs / 2 },
      { fromMs: nowMs + 2.5 * hourMs, toMs: nowMs + 3 * hourMs },
    ]);
    expect(thaw).toEqual([{ fromMs: nowMs + hourMs / 2, toMs: nowMs + 2.5 * hourMs }]);
  });

  it("stop where the air isn't known", () => {
    const curve = sampleCurve({ airC: [-1, -1, null, -1] });
    expect(airSpans(curve, "frost")).toEqual([{ fromMs: nowMs, toMs: nowMs + hourMs }]);
    expect(airSpans(sampleCurve({ airC: [null, null, null, null] }), "thaw")).toEqual([]);
  });

  it("are none in an empty curve", () => {
    expect(airSpans({ atMs: [], airC: [] }, "frost")).toEqual([]);
  });
});

it("events are marked in words; an unknown kind keeps its own name", () => {
  const event = { atMs: nowMs, untilMs: nowMs, massKg: -8 };
  const events = [
    { ...event, kind: "poured-off" },
    { ...event, kind: "tipped" },
  ];
  expect(marksFromEvents(events).map(({ words }) => words)).toEqual(["poured off", "tipped"]);
});
