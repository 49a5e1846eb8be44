// How charts of many trees look: a small one of each, or all of them on one another.
import type uPlot from "uplot";
import type { Units } from "../../shared/wire/api.ts";
import { volumeNumber } from "../format.ts";
import { airChartOf, type Chart } from "./air-look.ts";
import { type CompareTable, sharedTop } from "./compare-table.ts";
import { airSpans } from "./curve-data.ts";
import type { Inks } from "./inks.ts";
import { faintManner, type LineManner } from "./line-manners.ts";
import type { PlotLook } from "./plot-options.ts";
import type { TimeSpan } from "./time-span.ts";

export type CompareGiven = {
  table: CompareTable;
  span: TimeSpan;
  units: Units;
  timeZone: string;
  inks: Inks;
  pointed: (atMs: number | null) => void;
};

const headroom = 1.08;
const noPoints = { show: false };

function sharedLook({ table, span, units, ...given }: CompareGiven) {
  const isClock = table.thaws === undefined;
  return {
    ...given,
    times: isClock ? ("clock" as const) : ("since-thaw" as const),
    range: [0, volumeNumber(sharedTop(table, span), units) * headroom] as [number, number],
    frost: isClock ? airSpans(table, "frost") : [],
    thaw: isClock ? airSpans(table, "thaw") : [],
    marks: [],
    levels: [],
    atMs: isClock ? undefined : 0,
    hasWords: false,
  };
}

function flowOf({ table, units }: CompareGiven, treeId: string) {
  const column = table.flowLPerH.get(treeId) ?? table.atMs.map(() => null);
  return column.map((value) => (value === null ? null : volumeNumber(value, units)));
}

/** One chart a tree, all on one scale. */
export function smallCharts(given: CompareGiven, treeIds: readonly string[]): Map<string, Chart> {
  const { table, inks } = given;
  const look: PlotLook = {
    ...sharedLook(given),
    key: "small",
    heightPx: 96,
    series: [{ stroke: inks.ink, fill: inks.sap, width: 1.5, points: noPoints }],
    spacePx: 26,
  };
  return new Map(
    treeIds.map((treeId) => [
      treeId,
      { look, data: [table.atMs, flowOf(given, treeId)] as uPlot.AlignedData },
    ]),
  );
}

/** All in one chart: those picked in their manner and in front, the others faint behind. */
export function overChart(given: CompareGiven, manners: ReadonlyMap<string, LineManner>): Chart {
  const { table, inks } = given;
  // Not by rank, which changes with the span: the chart needn't be built anew for that.
  const treeIds = [...table.flowLPerH.keys()];
  const ordered = [
    ...treeIds.filter((treeId) => !manners.has(treeId)),
    ...treeIds.filter((treeId) => manners.has(treeId)).reverse(),
  ];
  const series = ordered.map((treeId): uPlot.Series => {
    const { ink, dash, width } = manners.get(treeId) ?? faintManner;
    return { stroke: inks[ink], dash, width, points: noPoints };
  });
  const look: PlotLook = {
    ...sharedLook(given),
    key: `over ${ordered.join(" ")} ${[...manners.keys()].join(" ")}`,
    heightPx: 340,
    series,
    spacePx: 36,
  };
  return { look, data: [table.atMs, ...ordered.map((treeId) => flowOf(given, treeId))] };
}

/** The yard's air above them; by the clock only, and where a thermometer is. */
export function airChart(given: CompareGiven): Chart | undefined {
  const { table } = given;
  if (table.thaws !== undefined || table.airC.every((value) => value === null)) return undefined;
  return airChartOf(given, sharedLook(given));
}
