// @vitest-environment happy-dom
// The values under the finger and the times along the axis, as text.
import { expect, it } from "vitest";
import { axisTimes } from "../../../web/charts/plot-options.ts";
import { readoutWords } from "../../../web/charts/tree-curve.tsx";
import { hourMs, sampleCurve, samplePage } from "../sample-yard.ts";

it("the readout says time, flow with its band, litres and air", () => {
  expect(readoutWords(sampleCurve(), 1, samplePage())).toBe(
    "today 16:40 · 0.20 L/h · likely 0.10 to 0.30 L/h · 2.0 L in the bucket · air 2.0 °C",
  );
});

it("the readout says that a missing flow is not known", () => {
  expect(readoutWords(sampleCurve(), 2, samplePage())).toBe(
    "today 17:40 · flow not known · air 4.0 °C",
  );
});

it("an empty curve has nothing to read", () => {
  expect(readoutWords(sampleCurve(), undefined, samplePage())).toBe("No readings in this span");
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
