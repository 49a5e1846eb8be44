// Curves shaped for the charts: units, gaps, frost and marks.
import { describe, expect, it } from "vitest";
import {
  airColumns,
  airSpans,
  flowColumns,
  lastKnownIndex,
  marksFromEvents,
  volumeColumns,
} from "../../../web/charts/curve-data.ts";
import { hourMs, nowMs, sampleCurve } from "../sample-yard.ts";

describe("columns", () => {
  it("keep what is missing missing, in both units", () => {
    const [times, low, high, flow] = flowColumns(sampleCurve(), "us");
    expect(times).toHaveLength(4);
    expect([low[2], high[2], flow[2]]).toEqual([null, null, null]);
    // 0.1 L/h over 3.785411784 L to the US gallon (NIST SP 811).
    expect(flow[0]).toBeCloseTo(0.026417, 6);
    expect(volumeColumns(sampleCurve(), "metric")[1]).toEqual([1, 2, null, 4]);
  });

  it("turn air into degrees of the person", () => {
    expect(airColumns(sampleCurve(), "us")[1]).toEqual([28.4, 35.6, 39.2, 24.8]);
  });
});

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

it("the last known place is that of the last figure, not of the last time", () => {
  const curve = sampleCurve({ flowLPerH: [1, 2, 3, null], volumeL: [1, 2, 3, null] });
  expect(lastKnownIndex(curve)).toBe(2);
  const blank = sampleCurve({
    flowLPerH: [null, null, null, null],
    volumeL: [null, null, null, null],
  });
  expect(lastKnownIndex(blank)).toBeUndefined();
});
