// One uPlot chart as a component: built once per look, fed with data, as wide as its place.
import { useEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import type { TimeSpan } from "./curve-data.ts";
import { type PlotLook, plotOptions, setTimeSpan, syncKey } from "./plot-options.ts";

export function Plot(props: { look: PlotLook; data: uPlot.AlignedData; span: TimeSpan }) {
  const { look, data, span } = props;
  const { inks, timeZone, heightPx } = look;
  const place = useRef<HTMLDivElement>(null);
  const shown = useRef(look);
  const chart = useRef<uPlot>(null);
  shown.current = look;
  useEffect(() => {
    const home = place.current;
    if (home === null) return;
    const made = new uPlot(
      plotOptions(() => shown.current ?? look, widthOf(home)),
      undefined,
      home,
    );
    chart.current = made;
    const stopTouch = followTouch(made);
    const watcher = new ResizeObserver(() => {
      made.setSize({ width: widthOf(home), height: heightPx });
    });
    watcher.observe(home);
    return () => {
      watcher.disconnect();
      stopTouch();
      made.destroy();
    };
  }, [inks, timeZone, heightPx]);
  useEffect(() => {
    if (chart.current === null) return;
    setTimeSpan(chart.current, span);
    chart.current.setData(data);
  }, [inks, timeZone, heightPx, data, span]);
  return <div class="plot" ref={place} />;
}

function widthOf(home: HTMLElement): number {
  return Math.max(160, home.clientWidth);
}

/** Moves the shared cursor of all charts to a time. */
export function pointAt(atMs: number | undefined): void {
  const [chart] = uPlot.sync(syncKey).plots;
  if (chart === undefined || atMs === undefined) return;
  chart.setCursor({ left: chart.valToPos(atMs, "x"), top: 1 });
}

/** uPlot follows a mouse by itself; a finger moves the same cursor. */
function followTouch(chart: uPlot): () => void {
  const follow = (event: PointerEvent) => {
    if (event.pointerType === "mouse") return;
    const box = chart.over.getBoundingClientRect();
    chart.setCursor({ left: event.clientX - box.left, top: event.clientY - box.top });
  };
  chart.over.addEventListener("pointerdown", follow);
  chart.over.addEventListener("pointermove", follow);
  return () => {
    chart.over.removeEventListener("pointerdown", follow);
    chart.over.removeEventListener("pointermove", follow);
  };
}
