// The settings of one time chart; all charts of a view share time, margins and pointer.
import type uPlot from "uplot";
import { axisHours, axisTimes, splitsOf, stepFor } from "./axis-times.ts";
import type { Mark } from "./curve-data.ts";
import type { Inks } from "./inks.ts";
import { drawFrost, drawLines, drawMarks, drawSpanWords, type Level } from "./plot-drawing.ts";
import type { TimeSpan } from "./time-span.ts";

export type PlotLook = {
  /** The chart is built anew when it changes: after another number or manner of lines. */
  key: string;
  inks: Inks;
  timeZone: string;
  heightPx: number;
  /** What the axis of time says: clock and date, hours since a thaw, or nothing. */
  times: "clock" | "since-thaw" | "none";
  series: uPlot.Series[];
  bands?: uPlot.Band[];
  /** Lower and upper edge in people's units. */
  range: [number, number];
  /** So far apart in px are the marks of the upright axis at least. */
  spacePx: number;
  /** A word above frost and thaw. */
  hasWords: boolean;
  frost: TimeSpan[];
  thaw: TimeSpan[];
  marks: Mark[];
  /** Lines across at a height, such as the rim. */
  levels: Level[];
  /** An upright line: now, or the thaw. */
  atMs: number | undefined;
  /** Told the instant under the pointer; null when it has left. */
  pointed: (atMs: number | null) => void;
};

/** Charts with this key share their cursor. */
export const syncKey = "curve";
const axisWidthPx = 44;

/** `look` is asked anew at each drawing, so that new data needs no new chart. */
export function plotOptions(look: () => PlotLook, widthPx: number): uPlot.Options {
  const { heightPx, hasWords, series, bands } = look();
  return {
    width: widthPx,
    height: heightPx,
    ms: 1,
    padding: [hasWords ? 16 : 8, 8, 0, 0],
    legend: { show: false },
    cursor: { sync: { key: syncKey }, y: false, drag: { x: false, y: false } },
    scales: {
      x: { time: false, auto: false },
      y: { range: () => look().range },
    },
    series: [{}, ...series],
    axes: [timeAxis(look), figureAxis(look)],
    ...(bands !== undefined && { bands }),
    hooks: {
      drawClear: [(u) => drawFrost(u, look().frost, look().inks)],
      draw: [(u) => drawOver(u, look())],
      setCursor: [(u) => look().pointed(u.data[0][u.cursor.idx ?? -1] ?? null)],
    },
  };
}

function drawOver(u: uPlot, look: PlotLook): void {
  const { marks, frost, thaw, inks, hasWords } = look;
  drawLines(u, { levels: look.levels, atMs: look.atMs }, inks);
  if (!hasWords) {
    drawMarks(u, marks, inks);
    return;
  }
  const words = [
    { words: "freeze", spans: frost },
    { words: "thaw", spans: thaw },
  ];
  drawSpanWords(u, words, inks);
}

const sharedAxis = {
  font: '12px system-ui, "Segoe UI", Roboto, sans-serif',
  ticks: { show: false },
};

function timeAxis(look: () => PlotLook): uPlot.Axis {
  const { times, inks } = look();
  return {
    ...sharedAxis,
    stroke: () => look().inks.soft,
    grid: { show: true, stroke: inks.rule, width: 0.5 },
    size: times === "none" ? 6 : 26,
    splits: (u) => {
      const { min: fromMs = 0, max: toMs = 1 } = u.scales["x"] as { min?: number; max?: number };
      const stepMs = stepFor(toMs - fromMs, u.bbox.width / devicePixelRatio, 60);
      const zone = times === "since-thaw" ? "UTC" : look().timeZone;
      return splitsOf({ fromMs, toMs }, stepMs, zone);
    },
    values: (_, splits) => {
      if (times === "none") return splits.map(() => "");
      return times === "clock" ? axisTimes(splits, look().timeZone) : axisHours(splits);
    },
  };
}

function figureAxis(look: () => PlotLook): uPlot.Axis {
  const { inks, spacePx } = look();
  return {
    ...sharedAxis,
    stroke: () => look().inks.soft,
    grid: { show: true, stroke: inks.rule, width: 0.5 },
    size: axisWidthPx,
    space: spacePx,
  };
}
