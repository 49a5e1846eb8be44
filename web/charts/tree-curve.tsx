// One tree's flow, the air above it and the litres below, on one time axis, with a readout.
import { useEffect, useMemo, useState } from "preact/hooks";
import {
  formatFlow,
  formatTemp,
  formatTimeOfDay,
  formatVolume,
} from "../../shared/people/format.ts";
import type { Curve } from "../../shared/wire/api.ts";
import { formatFlowRange, tempUnit, volumeUnit } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import {
  airColumns,
  airSpans,
  flowColumns,
  lastKnownIndex,
  marksFromEvents,
  type TimeSpan,
  volumeColumns,
} from "./curve-data.ts";
import { type Inks, pageInks } from "./inks.ts";
import { Plot, pointAt } from "./plot.tsx";
import type { PlotKind, PlotLook } from "./plot-options.ts";

type Shown = { curve: Curve; fromMs: number; toMs: number; page: PageFrame };

export function TreeCurve(props: Shown) {
  const { curve, fromMs, toMs } = props;
  const { units, timeZone } = props.page;
  const span = useMemo<TimeSpan>(() => ({ fromMs, toMs }), [fromMs, toMs]);
  const [pointed, setPointed] = useState<number | null>(null);
  const dark = useDark();
  const inks = useMemo(pageInks, [dark]);
  const looks = useMemo(
    () => looksOf({ curve, timeZone, pointed: setPointed, inks }),
    [curve, timeZone, inks],
  );
  const data = useMemo(
    () => ({
      air: airColumns(curve, units),
      flow: flowColumns(curve, units),
      volume: volumeColumns(curve, units),
    }),
    [curve, units],
  );
  const index = pointed ?? lastKnownIndex(curve);
  const last = curve.atMs.length - 1;
  const read = (place: number) => {
    setPointed(place);
    pointAt(curve.atMs[place]);
  };
  return (
    <figure class="curves">
      <Readout {...props} index={index} />
      <section class="curve-group" aria-label="Curves">
        <h3>Air, {tempUnit(units)}</h3>
        <Plot look={looks.air} data={data.air} span={span} />
        <h3>
          Flow, {volumeUnit(units)}/h <small>with its 90 % band</small>
        </h3>
        <Plot look={looks.flow} data={data.flow} span={span} />
        <h3>In the bucket, {volumeUnit(units)}</h3>
        <Plot look={looks.volume} data={data.volume} span={span} />
        <label class="along">
          <span>Read along the curves</span>
          <input
            type="range"
            min="0"
            max={Math.max(0, last)}
            value={index ?? last}
            aria-valuetext={readoutWords(curve, index, props.page)}
            onInput={(event) => read(Number(event.currentTarget.value))}
          />
        </label>
      </section>
    </figure>
  );
}

function looksOf(from: {
  curve: Curve;
  timeZone: string;
  pointed: (index: number | null) => void;
  inks: Inks;
}): Record<PlotKind, PlotLook> {
  const { curve, timeZone, pointed, inks } = from;
  const shared = {
    inks,
    timeZone,
    frost: airSpans(curve, "frost"),
    thaw: airSpans(curve, "thaw"),
    marks: marksFromEvents(curve.events),
    pointed,
  };
  return {
    air: { ...shared, kind: "air", heightPx: 110, hasTimes: false },
    flow: { ...shared, kind: "flow", heightPx: 220, hasTimes: true },
    volume: { ...shared, kind: "volume", heightPx: 130, hasTimes: true },
  };
}

function Readout(props: Shown & { index: number | undefined }) {
  return <p class="readout">{readoutWords(props.curve, props.index, props.page)}</p>;
}

/** What the curves say at one place: "Wed 14:20 · 0.42 L/h, likely …". */
export function readoutWords(curve: Curve, index: number | undefined, page: PageFrame): string {
  const atMs = index === undefined ? undefined : curve.atMs[index];
  if (index === undefined || atMs === undefined) return "No readings in this span";
  const { units } = page;
  const said = (column: (number | null)[], words: (value: number) => string) => {
    const value = column[index] ?? null;
    return value === null ? undefined : words(value);
  };
  const flow = said(curve.flowLPerH, (value) => formatFlow(value, units));
  const low = curve.lowLPerH[index] ?? null;
  const high = curve.highLPerH[index] ?? null;
  const parts = [
    formatTimeOfDay(atMs, page),
    flow ?? "flow not known",
    flow !== undefined && low !== null && high !== null
      ? `likely ${formatFlowRange(low, high, units)}`
      : undefined,
    said(curve.volumeL, (value) => `${formatVolume(value, units)} in the bucket`),
    said(curve.airC, (value) => `air ${formatTemp(value, units)}`),
  ];
  return parts.filter((part) => part !== undefined).join(" · ");
}

function useDark(): boolean {
  const [dark, setDark] = useState(matchMedia("(prefers-color-scheme: dark)").matches);
  useEffect(() => {
    const query = matchMedia("(prefers-color-scheme: dark)");
    const seen = () => setDark(query.matches);
    query.addEventListener("change", seen);
    return () => query.removeEventListener("change", seen);
  }, []);
  return dark;
}
