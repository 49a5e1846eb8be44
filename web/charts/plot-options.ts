// The settings of one time chart; all charts of a view share time, margins and pointer.
import uPlot from "uplot";
import { formatDate } from "../../shared/people/format.ts";
import type { Mark, TimeSpan } from "./curve-data.ts";
import type { Inks } from "./inks.ts";
import { drawFrost, drawMarks, drawSpanWords } from "./plot-drawing.ts";

export type PlotKind = "flow" | "air" | "volume";

export type PlotLook = {
  kind: PlotKind;
  inks: Inks;
  timeZone: string;
  heightPx: number;
  hasTimes: boolean;
  frost: TimeSpan[];
  thaw: TimeSpan[];
  marks: Mark[];
  pointed: (index: number | null) => void;
};

/** Charts with this key share their cursor. */
export const syncKey = "curve";

const dayMs = 86_400_000;

/** Times along the axis: the hour within days, the date at midnight and on longer spans. */
export function axisTimes(splits: number[], timeZone: string): string[] {
  const stepMs = (splits[1] ?? 0) - (splits[0] ?? 0);
  return splits.map((atMs) => {
    const clock = new Date(atMs).toLocaleTimeString("en-GB", {
      timeZone,
      hour: "2-digit",
      minute: "2-digit",
    });
    return stepMs >= 0.9 * dayMs || clock === "00:00" ? formatDate(atMs, timeZone) : clock;
  });
}

function seriesOf({ kind, inks }: PlotLook): uPlot.Series[] {
  if (kind === "air") return [{}, { stroke: inks.warm, width: 1.5, points: { show: false } }];
  if (kind === "volume") {
    return [{}, { stroke: inks.sapEdge, fill: inks.sap, width: 1.5, points: { show: false } }];
  }
  const edge: uPlot.Series = { stroke: "transparent", width: 0, points: { show: false } };
  return [{}, edge, edge, { stroke: inks.ink, width: 2, points: { show: false } }];
}

function yRange(kind: PlotKind): uPlot.Scale.Range {
  if (kind === "air") {
    return (_, low, high) => [Math.min(low ?? 0, -1) - 1, Math.max(high ?? 0, 1) + 1];
  }
  return (_, __, high) => [0, Math.max(high ?? 0, 0.02) * 1.12];
}

function axesOf(look: PlotLook): uPlot.Axis[] {
  const { kind, inks, timeZone, hasTimes } = look;
  const shared = {
    stroke: inks.soft,
    font: '12px system-ui, "Segoe UI", Roboto, sans-serif',
    ticks: { show: false },
  };
  return [
    {
      ...shared,
      grid: { show: true, stroke: inks.rule, width: 0.5 },
      size: hasTimes ? 26 : 6,
      space: 56,
      values: (_, splits) => (hasTimes ? axisTimes(splits, timeZone) : splits.map(() => "")),
    },
    {
      ...shared,
      grid: { show: true, stroke: inks.rule, width: 0.5 },
      size: 44,
      space: kind === "air" ? 20 : 28,
    },
  ];
}

/** `look` is asked anew at each drawing, so that new data needs no new chart. */
export function plotOptions(look: () => PlotLook, widthPx: number): uPlot.Options {
  const { kind, inks, timeZone, heightPx } = look();
  const showsWords = kind === "air";
  return {
    width: widthPx,
    height: heightPx,
    ms: 1,
    tzDate: (ts) => uPlot.tzDate(new Date(ts), timeZone),
    padding: [showsWords ? 16 : 6, 8, 0, 0],
    legend: { show: false },
    cursor: { sync: { key: syncKey }, y: false, drag: { x: false, y: false } },
    scales: { x: { time: true, range: (u) => xRangeOf(u) }, y: { range: yRange(kind) } },
    series: seriesOf(look()),
    axes: axesOf(look()),
    ...(kind === "flow" && { bands: [{ series: [2, 1], fill: bandFill(inks) }] }),
    hooks: {
      drawClear: [(u) => drawFrost(u, look().frost, inks)],
      draw: [
        (u) => {
          const { marks, frost, thaw } = look();
          if (!showsWords) return drawMarks(u, marks, inks);
          const words = [
            { words: "freeze", spans: frost },
            { words: "thaw", spans: thaw },
          ];
          drawSpanWords(u, words, inks);
        },
      ],
      setCursor: [(u) => look().pointed(u.cursor.idx ?? null)],
    },
  };
}

function bandFill(inks: Inks): string {
  return `${inks.sapEdge}4d`;
}

/** The span asked for, kept on the chart so that gaps at its ends show as gaps. */
const spans = new WeakMap<uPlot, [number, number]>();

export function setTimeSpan(u: uPlot, span: TimeSpan): void {
  spans.set(u, [span.fromMs, span.toMs]);
}

function xRangeOf(u: uPlot): [number, number] {
  const times = u.data[0];
  return spans.get(u) ?? [times?.[0] ?? 0, times?.at(-1) ?? 1];
}
