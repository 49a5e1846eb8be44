// The trees' curves: one beside the other on one scale, or on one another; by the clock or from the thaw on.
import { useMemo, useRef, useState } from "preact/hooks";
import { formatFlow, formatTimeOfDay } from "../../shared/people/format.ts";
import { msPerHour } from "../../shared/units.ts";
import { tempUnit, volumeNumber, volumeUnit } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import type { RankedTree } from "../parts/rank-table.tsx";
import { hashFromRoute } from "../routes.ts";
import { placeNear, placesWithin } from "./columns.ts";
import { airChart, type CompareGiven, overChart, smallCharts } from "./compare-looks.ts";
import { type CompareTable, sharedTop } from "./compare-table.ts";
import { curveCsv } from "./curve-csv.ts";
import { CurveGroup } from "./curve-group.tsx";
import { fileName } from "./hand-over.ts";
import { pageInks } from "./inks.ts";
import { mannersOf, pickedWith } from "./line-manners.ts";
import { LinePicks } from "./line-picks.tsx";
import { Plot, pointAt } from "./plot.tsx";
import { SaveButtons } from "./save-buttons.tsx";
import type { SpanControl } from "./span-control.ts";
import type { TimeSpan } from "./time-span.ts";
import { useDark } from "./use-dark.ts";
import { HandsHint } from "./window-bar.tsx";

export type Arrangement = "beside" | "over";

type Shown = {
  trees: RankedTree[];
  table: CompareTable;
  control: SpanControl;
  span: TimeSpan;
  arrangement: Arrangement;
  page: PageFrame;
  /** The table is of what is in sight. */
  ready: boolean;
};

const firstPicks = 4;

export function CompareCurves(props: Shown) {
  const { trees, table, control, span, arrangement, page } = props;
  const [pointedMs, setPointedMs] = useState<number | null>(null);
  const figure = useRef<HTMLElement>(null);
  const dark = useDark();
  const inks = useMemo(pageInks, [dark]);
  const { units, timeZone } = page;
  const given = useMemo(
    () => ({ table, span, units, timeZone, inks, pointed: setPointedMs }),
    [table, span.fromMs, span.toMs, units, timeZone, inks],
  );
  const seen = placesWithin(table.atMs, span);
  const pointed = placeNear(table.atMs, pointedMs);
  const readOn = (by: 1 | -1) => {
    const { first, last } = seen ?? { first: 0, last: 0 };
    const place = Math.min(last, Math.max(first, (pointed ?? last) + by));
    setPointedMs(table.atMs[place] ?? null);
    pointAt(table.atMs[place]);
  };
  const parts = { ...props, given, pointed };
  return (
    <>
      <figure class="compare-curves" ref={figure}>
        <figcaption class="soft" data-drawn>
          {captionWords(props)}
        </figcaption>
        <p class="readout is-short" data-drawn aria-live="polite">
          {pointed === undefined ? "" : placeWords(table, pointed, page)}
        </p>
        <CurveGroup label="Curves of the trees" window={{ control }} readOn={readOn}>
          {arrangement === "beside" ? <Beside {...parts} /> : <Over {...parts} />}
        </CurveGroup>
      </figure>
      <HandsHint />
      <SaveButtons
        name={fileName("trees", table.thaws === undefined ? dayOf(span.fromMs) : "after thaw")}
        figure={() => figure.current}
        csv={() => compareCsv(trees, props)}
        ready={props.ready}
      />
    </>
  );
}

function dayOf(atMs: number): string {
  return new Date(atMs).toISOString().slice(0, 10);
}

function captionWords({ table, span, page }: Shown): string {
  const top = formatFlow(sharedTop(table, span), page.units);
  if (table.thaws === undefined) {
    return `Flow in ${volumeUnit(page.units)}/h from ${formatTimeOfDay(span.fromMs, page)} to ${formatTimeOfDay(span.toMs, page)}, all on one scale up to ${top}.`;
  }
  const most = Math.max(0, ...table.thaws.values());
  return `Flow in ${volumeUnit(page.units)}/h by the hours since the air rose above freezing, the mean of up to ${most} ${most === 1 ? "thaw" : "thaws"}, all on one scale up to ${top}.`;
}

/** "today 14:20", or "2 h after the thaw". */
function placeWords({ atMs, thaws }: CompareTable, place: number, page: PageFrame): string {
  const at = atMs[place] ?? 0;
  if (thaws === undefined) return formatTimeOfDay(at, page);
  const hours = Math.round((Math.abs(at) / msPerHour) * 10) / 10;
  if (hours === 0) return "at the thaw";
  return `${hours} h ${at < 0 ? "before" : "after"} the thaw`;
}

type Parts = Shown & { given: CompareGiven; pointed: number | undefined };

function flowWords({ table, page, pointed }: Parts, treeId: string): string {
  if (pointed === undefined) return "";
  const flow = table.flowLPerH.get(treeId)?.[pointed] ?? null;
  return flow === null ? "not known" : formatFlow(flow, page.units);
}

function Beside(parts: Parts) {
  const { trees, given, control } = parts;
  const ids = trees.map(({ treeId }) => treeId);
  const charts = useMemo(() => smallCharts(given, ids), [given, ids.join(" ")]);
  return (
    <ol class="small-curves">
      {trees.map((tree) => {
        const chart = charts.get(tree.treeId);
        return (
          <li key={tree.treeId}>
            <p>
              <TreeName tree={tree} />
              <span class="soft" data-drawn>
                {flowWords(parts, tree.treeId)}
              </span>
            </p>
            {chart !== undefined && <Plot {...chart} control={control} />}
          </li>
        );
      })}
    </ol>
  );
}

function TreeName({ tree }: { tree: RankedTree }) {
  const [bucketId] = tree.bucketIds;
  if (bucketId === undefined) return <span data-drawn>{tree.label}</span>;
  return (
    <a href={hashFromRoute({ view: "bucket", id: bucketId })} data-drawn>
      {tree.label}
    </a>
  );
}

function Over(parts: Parts) {
  const { trees, given, control, page } = parts;
  const ids = trees.map(({ treeId }) => treeId);
  const [picked, setPicked] = useState<string[]>(ids.slice(0, firstPicks));
  const manners = mannersOf(picked);
  const chart = useMemo(() => overChart(given, manners), [given, picked.join(" ")]);
  const air = useMemo(() => airChart(given), [given]);
  return (
    <>
      {air !== undefined && (
        <>
          <h3 data-drawn>Air, {tempUnit(page.units)}</h3>
          <Plot {...air} control={control} />
        </>
      )}
      <h3 data-drawn>Flow, {volumeUnit(page.units)}/h</h3>
      <Plot {...chart} control={control} />
      <LinePicks
        trees={trees.map(({ treeId, label }) => ({
          treeId,
          label,
          said: flowWords(parts, treeId),
        }))}
        manners={manners}
        pick={(treeId) => setPicked(pickedWith(picked, treeId))}
      />
    </>
  );
}

function compareCsv(trees: RankedTree[], { table, span, page }: Shown): string {
  const { units, timeZone } = page;
  return curveCsv({
    atMs: table.atMs,
    span,
    timeZone: table.thaws === undefined ? timeZone : null,
    columns: trees.map(({ treeId, label }) => ({
      head: `${label} ${volumeUnit(units)}/h`,
      values: (table.flowLPerH.get(treeId) ?? []).map((value) =>
        value === null ? null : volumeNumber(value, units),
      ),
      decimals: 3,
    })),
  });
}
