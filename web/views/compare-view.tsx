// Trees beside each other or on one another, and a ranked table.
import { useMemo, useState } from "preact/hooks";
import { msPerHour } from "../../shared/units.ts";
import type { Compare } from "../../shared/wire/api.ts";
import type { AfterThaw, TreeCurves } from "../../shared/wire/curves.ts";
import { spanQuery } from "../api.ts";
import { useAsked } from "../asking.ts";
import { type Arrangement, CompareCurves } from "../charts/compare-curves.tsx";
import { clockTable, thawTable } from "../charts/compare-table.ts";
import { createSpanControl } from "../charts/span-control.ts";
import { askedSpan, wholeSpan } from "../charts/steps.ts";
import type { TimeSpan } from "../charts/time-span.ts";
import { type TimeWindow, useTimeWindow } from "../charts/use-time-window.ts";
import { WindowBar } from "../charts/window-bar.tsx";
import type { PageFrame } from "../page-frame.ts";
import { Choice } from "../parts/choice.tsx";
import { Outcome } from "../parts/outcome.tsx";
import { type RankedTree, RankTable, rankedTrees, WeakTaps } from "../parts/rank-table.tsx";
import { SeasonHints } from "../parts/season-hints.tsx";

const slotMs = 600_000;
const afterThaw: TimeSpan = { fromMs: -2 * msPerHour, toMs: 14 * msPerHour };

type Alignment = "clock" | "thaw";
const arrangements = { beside: "Side by side", over: "On one another" } as const;
const alignments = { clock: "By the clock", thaw: "From the thaw on" } as const;

export function ComparePage({ page }: { page: PageFrame }) {
  const window = useTimeWindow(page, { name: "3d", beatMs: () => slotMs, looksAhead: false });
  const [arrangement, setArrangement] = useState<Arrangement>("beside");
  const [alignment, setAlignment] = useState<Alignment>("clock");
  const { fromMs, toMs } = window.settled;
  const { value, problem } = useAsked<Compare>(`/trees/compare${spanQuery({ fromMs, toMs })}`);
  const trees = rankedTrees(value?.trees ?? []);
  const shown = { trees, arrangement, page, window };
  return (
    <>
      <h2>Which tree runs best?</h2>
      <WindowBar window={window} legend="Compare over" />
      <div class="window-bar not-printed">
        <Choice
          legend="Curves"
          names={["beside", "over"]}
          words={arrangements}
          now={arrangement}
          choose={setArrangement}
        />
        <Choice
          legend="Time"
          names={["clock", "thaw"]}
          words={alignments}
          now={alignment}
          choose={setAlignment}
        />
      </div>
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && trees.length === 0 && (
        <p class="soft">No tree has a bucket yet. Give the buckets their trees in the set-up.</p>
      )}
      {trees.length > 0 && (
        <>
          {alignment === "clock" ? <ByClock {...shown} /> : <FromThaw {...shown} />}
          <RankTable trees={trees} page={page} />
          <WeakTaps trees={trees} />
        </>
      )}
      <SeasonHints />
    </>
  );
}

type Shown = {
  trees: RankedTree[];
  arrangement: Arrangement;
  page: PageFrame;
  window: TimeWindow;
};

function ByClock({ trees, arrangement, page, window }: Shown) {
  const { control, settled, name, nowMs } = window;
  const knownMs = { fromMs: Math.min(control.limits().fromMs, nowMs), toMs: nowMs };
  const asked = askedSpan(settled, { knownMs, leastStepMs: slotMs });
  const stretch = useAsked<TreeCurves>(`/trees/curves${spanQuery(asked)}`);
  const whole = useAsked<TreeCurves>(
    name === undefined ? `/trees/curves${spanQuery(wholeSpan(knownMs))}` : null,
  );
  const table = useMemo(
    () => stretch.value && clockTable(whole.value, stretch.value),
    [whole.value, stretch.value],
  );
  return (
    <>
      <Outcome sending={{ problem: stretch.problem, done: undefined }} />
      {table !== undefined && (
        <CompareCurves
          {...{ trees, table, control, arrangement, page }}
          span={settled}
          ready={stretch.isCurrent}
        />
      )}
    </>
  );
}

/** The hours after a thaw have a span of their own to look closer at. */
function FromThaw({ trees, arrangement, page, window }: Shown) {
  const { fromMs, toMs } = window.settled;
  const { value, problem, isCurrent } = useAsked<AfterThaw>(
    `/trees/after-thaw${spanQuery({ fromMs, toMs })}`,
  );
  const control = useMemo(() => {
    const limits = { ...afterThaw, shortestMs: 2 * msPerHour };
    return createSpanControl({ span: afterThaw, limits });
  }, []);
  const table = useMemo(() => value && thawTable(value), [value]);
  const thaws = Math.max(0, ...(table?.thaws?.values() ?? []));
  return (
    <>
      <Outcome sending={{ problem, done: undefined }} />
      {table !== undefined && thaws === 0 && (
        <p class="soft">No thaw after frost lies in this span. Look back over more days.</p>
      )}
      {table !== undefined && thaws > 0 && (
        <CompareCurves
          {...{ trees, table, control, arrangement, page }}
          span={afterThaw}
          ready={isCurrent}
        />
      )}
    </>
  );
}
