// How the air's own chart looks, above a bucket's curves or above all trees': low, and with the frost in sight.
import type uPlot from "uplot";
import type { Units } from "../../shared/wire/api.ts";
import { tempNumber } from "../format.ts";
import { type Column, extremesOf, placesWithin } from "./columns.ts";
import type { Inks } from "./inks.ts";
import type { PlotLook } from "./plot-options.ts";
import type { TimeSpan } from "./time-span.ts";

export type Chart = { look: PlotLook; data: uPlot.AlignedData };

type AirGiven = {
  table: { atMs: number[]; airC: Column };
  /** What is in sight: the upright scale fits it. */
  span: TimeSpan;
  units: Units;
  inks: Inks;
};

type Own = "key" | "heightPx" | "times" | "series" | "range" | "spacePx" | "hasWords";

/** `shared` is what it has in common with the charts below it. */
export function airChartOf(
  { table, span, units, inks }: AirGiven,
  shared: Omit<PlotLook, Own>,
): Chart {
  const air = table.airC.map((value) => (value === null ? null : tempNumber(value, units)));
  const seen = extremesOf(air, placesWithin(table.atMs, span));
  const frostAt = tempNumber(0, units);
  const look: PlotLook = {
    ...shared,
    key: "air",
    heightPx: 110,
    times: "none",
    series: [{ stroke: inks.warm, width: 1.5, points: { show: false } }],
    range: [
      Math.min(seen?.low ?? frostAt, frostAt - 1) - 1,
      Math.max(seen?.high ?? frostAt, frostAt + 1) + 1,
    ],
    spacePx: 20,
    hasWords: true,
  };
  return { look, data: [table.atMs, air] };
}
