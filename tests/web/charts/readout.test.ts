// The values under the finger and the times along the axis, as text.
import { expect, it } from "vitest";
import { axisTimes } from "../../../web/charts/axis-times.ts";
import { treeTable } from "../../../web/charts/tree-table.ts";
import { readoutWords } from "../../../web/charts/tree-words.ts";
import { hourMs, nowMs, sampleCurve, samplePage } from "../sample-yard.ts";

const table = () =>
  treeTable({ whole: undefined, stretch: sampleCurve(), before: undefined, ahead: undefined });

it("beyond now the readout says what is forecast, and for whom it holds", () => {
  const atMs = [3, 4].map((hour) => nowMs + hour * hourMs);
  const ahead = { atMs, lowL: [4, 4.2], midL: [4, 4.6], highL: [4, 5.3] };
  const told = treeTable({ whole: undefined, stretch: sampleCurve(), before: undefined, ahead });
  expect(told.atMs).toHaveLength(5);
  expect(readoutWords(told, 4, samplePage())).toBe(
    "today 19:40 · forecast 4.6 L in the bucket · likely 4.2 to 5.3 L · if nobody empties it",
  );
});

it("the year before is said beside this one", () => {
  const laterMs = 365 * 24 * hourMs;
  const back = sampleCurve();
  const curve = { ...back, atMs: back.atMs.map((at) => at - laterMs), flowLPerH: [1, 1.5, 2, 3] };
  const both = treeTable({
    whole: undefined,
    stretch: sampleCurve(),
    before: { curve, laterMs },
    ahead: undefined,
  });
  expect(readoutWords(both, 1, samplePage())).toContain("the year before 1.50 L/h");
});

it("the readout says time, flow with its band, litres and air", () => {
  expect(readoutWords(table(), 1, samplePage())).toBe(
    "today 16:40 · 0.20 L/h · likely 0.10 to 0.30 L/h · 2.0 L in the bucket · air 2.0 °C",
  );
});

it("the readout says that a missing flow is not known", () => {
  expect(readoutWords(table(), 2, samplePage())).toBe("today 17:40 · flow not known · air 4.0 °C");
});

it("an empty curve has nothing to read", () => {
  expect(readoutWords(table(), undefined, samplePage())).toBe("No readings in this span");
});

it("the axis shows hours within days and the date at midnight", () => {
  const eveningMs = Date.UTC(2026, 2, 12, 0, 0);
  const splits = [eveningMs, eveningMs + 4 * hourMs, eveningMs + 8 * hourMs];
  expect(axisTimes(splits, "America/New_York")).toEqual(["20:00", "12 Mar", "04:00"]);
});

it("the axis shows dates alone on longer spans", () => {
  const noonMs = Date.UTC(2026, 2, 12, 12);
  expect(axisTimes([noonMs, noonMs + 24 * hourMs], "UTC")).toEqual(["12 Mar", "13 Mar"]);
});
