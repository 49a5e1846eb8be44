// How the three charts of one bucket look: air, flow with its band, and the level with the fan ahead.
import type uPlot from "uplot";
import type { CurveEvent, Units } from "../../shared/wire/api.ts";
import { volumeNumber } from "../format.ts";
import { airChartOf, type Chart } from "./air-look.ts";
import { type Column, extremesOf, placesWithin } from "./columns.ts";
import { airSpans, marksFromEvents } from "./curve-data.ts";
import type { Inks } from "./inks.ts";
import type { PlotLook } from "./plot-options.ts";
import type { TimeSpan } from "./time-span.ts";
import type { TreeTable } from "./tree-table.ts";

export type TreeCharts = Record<"air" | "flow" | "level", Chart>;

type Given = {
  table: TreeTable;
  events: CurveEvent[];
  /** What is in sight: the upright scales fit it. */
  span: TimeSpan;
  capacityL: number;
  nowMs: number;
  units: Units;
  timeZone: string;
  inks: Inks;
  pointed: (atMs: number | null) => void;
};

const leastFlowLPerH = 0.05;
const headroom = 1.12;

export function treeCharts(given: Given): TreeCharts {
  const { table, inks, timeZone, pointed, nowMs } = given;
  const shared = {
    inks,
    timeZone,
    pointed,
    frost: airSpans(table, "frost"),
    thaw: airSpans(table, "thaw"),
    marks: marksFromEvents(given.events),
    levels: [],
    atMs: nowMs,
    hasWords: false,
  };
  return {
    air: airChartOf(given, shared),
    flow: flowChart(given, shared),
    level: levelChart(given, shared),
  };
}

type Shared = Pick<
  PlotLook,
  "inks" | "timeZone" | "pointed" | "frost" | "thaw" | "marks" | "levels" | "atMs" | "hasWords"
>;

function converted(column: Column, convert: (value: number) => number): Column {
  return column.map((value) => (value === null ? null : convert(value)));
}

const noPoints = { show: false };
const edge: uPlot.Series = { stroke: "transparent", width: 0, points: noPoints };

function flowChart({ table, units, span, inks }: Given, shared: Shared) {
  const inUnits = (column: Column) => converted(column, (value) => volumeNumber(value, units));
  const [low, high, flow] = [table.lowLPerH, table.highLPerH, table.flowLPerH].map(inUnits);
  const before = inUnits(table.beforeLPerH);
  const places = placesWithin(table.atMs, span);
  const top = Math.max(
    volumeNumber(leastFlowLPerH, units),
    extremesOf(flow ?? [], places)?.high ?? 0,
    extremesOf(before, places)?.high ?? 0,
  );
  const look: PlotLook = {
    ...shared,
    key: "flow",
    heightPx: 220,
    times: "clock",
    series: [
      edge,
      edge,
      { stroke: inks.ice, width: 1.5, dash: [5, 4], points: noPoints },
      { stroke: inks.ink, width: 2, points: noPoints },
    ],
    bands: [{ series: [2, 1], fill: `${inks.sapEdge}4d` }],
    range: [0, top * headroom],
    spacePx: 28,
  };
  return { look, data: [table.atMs, low, high, before, flow] as uPlot.AlignedData };
}

function levelChart({ table, units, capacityL, inks }: Given, shared: Shared) {
  const inUnits = (column: Column) => converted(column, (value) => volumeNumber(value, units));
  const [level, low, high, middle] = [
    table.volumeL,
    table.fanLowL,
    table.fanHighL,
    table.fanMidL,
  ].map(inUnits);
  const rim = volumeNumber(capacityL, units);
  const look: PlotLook = {
    ...shared,
    key: "level",
    heightPx: 150,
    times: "clock",
    series: [
      { stroke: inks.sapEdge, fill: inks.sap, width: 1.5, points: noPoints },
      edge,
      edge,
      { stroke: inks.ink, width: 1.5, dash: [4, 4], points: noPoints },
    ],
    bands: [{ series: [3, 2], fill: `${inks.sapEdge}66` }],
    range: [0, rim * 1.25],
    spacePx: 28,
    levels: [{ at: rim, words: "rim" }],
  };
  return { look, data: [table.atMs, level, low, high, middle] as uPlot.AlignedData };
}
