// One uPlot chart as a component: built once per look, fed with data, moved by hand, as wide as its place.
import { useEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import { followHands } from "./gestures.ts";
import { inTurn, notAnyMore } from "./in-turn.ts";
import { type PlotLook, plotOptions, syncKey } from "./plot-options.ts";
import type { SpanControl } from "./span-control.ts";
import type { TimeSpan } from "./time-span.ts";

export function Plot(props: { look: PlotLook; data: uPlot.AlignedData; control: SpanControl }) {
  const { look, data, control } = props;
  const { inks, timeZone, heightPx, key } = look;
  const place = useRef<HTMLDivElement>(null);
  const shown = useRef(look);
  const chart = useRef<uPlot>(null);
  shown.current = look;
  useEffect(() => {
    const home = place.current;
    if (home === null) return;
    const made = new uPlot(
      plotOptions(() => shown.current ?? look, widthOf(home)),
      data,
      home,
    );
    chart.current = made;
    showSpan(made, control.span());
    const stops = [moveWith(made, control), fitTo(home, made, heightPx)];
    return () => {
      for (const stop of stops) stop();
      notAnyMore(made);
      made.destroy();
    };
  }, [inks, timeZone, heightPx, key, control]);
  useEffect(() => {
    const { current } = chart;
    if (current === null) return;
    inTurn(current, () => {
      current.setData(data, false);
      // Also draws everything anew, with the upright scale that `look` has now.
      showSpan(current, control.span());
    });
  }, [data, look, control]);
  return <div class="plot" ref={place} />;
}

function widthOf(home: HTMLElement): number {
  return Math.max(120, home.clientWidth);
}

function showSpan(chart: uPlot, { fromMs, toMs }: TimeSpan): void {
  chart.setScale("x", { min: fromMs, max: toMs });
}

/** The chart shows the span of its control, and hands on it move that. */
function moveWith(chart: uPlot, control: SpanControl): () => void {
  const stopWatching = control.watch((span) => showSpan(chart, span));
  const read = (left: number) => chart.setCursor({ left, top: 1 });
  const stopHands = followHands({ area: chart.over, control, read });
  return () => {
    stopWatching();
    stopHands();
  };
}

function fitTo(home: HTMLElement, chart: uPlot, heightPx: number): () => void {
  const watcher = new ResizeObserver(() => {
    const widthPx = widthOf(home);
    if (widthPx !== chart.width) chart.setSize({ width: widthPx, height: heightPx });
  });
  watcher.observe(home);
  return () => watcher.disconnect();
}

/** Moves the shared cursor of all charts to a time. */
export function pointAt(atMs: number | undefined): void {
  const [chart] = uPlot.sync(syncKey).plots;
  if (chart === undefined || atMs === undefined) return;
  chart.setCursor({ left: chart.valToPos(atMs, "x"), top: 1 });
}
