// One bucket's flow, the air above it and the level below with the fan ahead, on one axis of time, with a readout.
import { useMemo, useRef, useState } from "preact/hooks";
import { msPerMinute } from "../../shared/units.ts";
import type { BucketView, Curve } from "../../shared/wire/api.ts";
import type { Ahead } from "../../shared/wire/curves.ts";
import type { Season } from "../../shared/wire/seasons.ts";
import { spanQuery } from "../api.ts";
import { useAsked } from "../asking.ts";
import { tempUnit, volumeUnit } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { Outcome } from "../parts/outcome.tsx";
import { placeNear, placesWithin } from "./columns.ts";
import { CurveGroup } from "./curve-group.tsx";
import { fileName } from "./hand-over.ts";
import { pageInks } from "./inks.ts";
import { Plot, pointAt } from "./plot.tsx";
import { SaveButtons } from "./save-buttons.tsx";
import { askedSpan, wholeSpan } from "./steps.ts";
import { treeCharts } from "./tree-looks.ts";
import { eventsOf, lastKnownPlace, type TreeTable, treeTable, yearLaterMs } from "./tree-table.ts";
import { readoutWords, treeCsv } from "./tree-words.ts";
import { useDark } from "./use-dark.ts";
import { type TimeWindow, useTimeWindow } from "./use-time-window.ts";
import { HandsHint, WindowBar } from "./window-bar.tsx";

const beatMinutes = { "24h": 5, "3d": 10, "10d": 30, season: 60 } as const;

export function TreeCurves({ bucket, page }: { bucket: BucketView; page: PageFrame }) {
  const window = useTimeWindow(page, {
    name: "3d",
    beatMs: (name) => beatMinutes[name ?? "3d"] * msPerMinute,
    looksAhead: true,
  });
  const [withBefore, setWithBefore] = useState(false);
  const told = useTold({ bucket, page, window, withBefore });
  return (
    <section aria-label="Curves">
      <WindowBar window={window} legend="Look back over" />
      <Outcome sending={{ problem: told.problem, done: undefined }} />
      {told.table !== undefined && (
        <Charts {...{ bucket, page, window, ...told }} table={told.table} />
      )}
      {told.hasBefore && (
        <label class="check not-printed">
          <input
            type="checkbox"
            checked={withBefore}
            onChange={(event) => setWithBefore(event.currentTarget.checked)}
          />
          <span>With the flow of the year before, dashed</span>
        </label>
      )}
    </section>
  );
}

type Asking = { bucket: BucketView; page: PageFrame; window: TimeWindow; withBefore: boolean };

/** Asks for what is in sight and around it; for the whole once it was moved; for the year before if wished. */
function useTold({ bucket, page, window, withBefore }: Asking) {
  const path = `/buckets/${bucket.id}`;
  const knownMs = {
    fromMs: Math.min(window.control.limits().fromMs, window.nowMs),
    toMs: window.nowMs,
  };
  const asked = askedSpan(window.settled, { knownMs, leastStepMs: msPerMinute / 2 });
  const laterMs = yearLaterMs(asked.fromMs, page.timeZone);
  const back = { ...asked, fromMs: asked.fromMs - laterMs, toMs: asked.toMs - laterMs };
  const stretch = useAsked<Curve>(`${path}/curve${spanQuery(asked)}`);
  const isMoved = window.name === undefined;
  const whole = useAsked<Curve>(isMoved ? `${path}/curve${spanQuery(wholeSpan(knownMs))}` : null);
  const before = useAsked<Curve>(withBefore ? `${path}/curve${spanQuery(back)}` : null);
  const ahead = useAsked<Ahead>(`${path}/ahead`, window.nowMs);
  const seasons = useAsked<Season[]>("/seasons");
  const curve = stretch.value;
  const table = useMemo(
    () =>
      curve &&
      treeTable({
        whole: whole.value,
        stretch: curve,
        before: withBefore && before.value ? { curve: before.value, laterMs } : undefined,
        ahead: ahead.value,
      }),
    [curve, whole.value, before.value, ahead.value, withBefore, laterMs],
  );
  const events = useMemo(
    () => (curve === undefined ? [] : eventsOf(whole.value, curve)),
    [curve, whole.value],
  );
  const { year } = page.yard.season;
  return {
    table,
    events,
    ready: stretch.isCurrent && before.isCurrent,
    problem: stretch.problem ?? before.problem,
    hasBefore: seasons.value?.some((season) => season.year === year - 1) === true,
  };
}

type Shown = {
  bucket: BucketView;
  page: PageFrame;
  window: TimeWindow;
  table: TreeTable;
  events: ReturnType<typeof eventsOf>;
  ready: boolean;
};

function Charts({ bucket, page, window, table, events, ready }: Shown) {
  const { units, timeZone } = page;
  const { control, settled, nowMs } = window;
  const [pointedMs, setPointedMs] = useState<number | null>(null);
  const figure = useRef<HTMLElement>(null);
  const dark = useDark();
  const inks = useMemo(pageInks, [dark]);
  const { capacityL } = bucket;
  const charts = useMemo(
    () =>
      treeCharts({
        ...{ table, events, span: settled, capacityL, nowMs },
        ...{ units, timeZone, inks, pointed: setPointedMs },
      }),
    [table, events, settled.fromMs, settled.toMs, capacityL, nowMs, units, timeZone, inks],
  );
  const place = placeNear(table.atMs, pointedMs) ?? lastKnownPlace(table);
  const seen = placesWithin(table.atMs, settled) ?? { first: 0, last: 0 };
  const read = (at: number) => {
    const kept = Math.min(seen.last, Math.max(seen.first, at));
    setPointedMs(table.atMs[kept] ?? null);
    pointAt(table.atMs[kept]);
  };
  return (
    <>
      <figure class="curves" ref={figure}>
        <p class="readout" data-drawn>
          {readoutWords(table, place, page)}
        </p>
        <CurveGroup label="Curves" window={window} readOn={(by) => read((place ?? seen.last) + by)}>
          <h3 data-drawn>Air, {tempUnit(units)}</h3>
          <Plot {...charts.air} control={control} />
          <h3 data-drawn>Flow, {volumeUnit(units)}/h, with its 90 % band</h3>
          <Plot {...charts.flow} control={control} />
          <h3 data-drawn>
            In the bucket, {volumeUnit(units)}; after now, what 80 of 100 forecasts hold
          </h3>
          <Plot {...charts.level} control={control} />
        </CurveGroup>
        <label class="along not-printed">
          <span>Read along the curves</span>
          <input
            type="range"
            min={seen.first}
            max={seen.last}
            value={place ?? seen.last}
            aria-valuetext={readoutWords(table, place, page)}
            onInput={(event) => read(Number(event.currentTarget.value))}
          />
        </label>
      </figure>
      <HandsHint />
      <SaveButtons
        name={fileName(bucket.label, new Date(settled.fromMs).toISOString().slice(0, 10))}
        figure={() => figure.current}
        csv={() => treeCsv(table, settled, page)}
        ready={ready}
      />
    </>
  );
}
