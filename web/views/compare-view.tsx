// Trees beside each other: small curves on one scale and a ranked table.
import { useEffect, useState } from "preact/hooks";
import { formatFlow } from "../../shared/people/format.ts";
import type { Compare, Curve } from "../../shared/wire/api.ts";
import { callApi, spanQuery } from "../api.ts";
import { problemFromError, useAsked } from "../asking.ts";
import { SmallCurve, sharedTop } from "../charts/small-curve.tsx";
import { type Span, type SpanName, spanNames, spanOf, spanWords } from "../charts/spans.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { Choice } from "../parts/choice.tsx";
import { Outcome } from "../parts/outcome.tsx";
import { type RankedTree, RankTable, rankedTrees, WeakTaps } from "../parts/rank-table.tsx";
import { SeasonHints } from "../parts/season-hints.tsx";
import { hashFromRoute } from "../routes.ts";

export function ComparePage({ page }: { page: PageFrame }) {
  const [name, setName] = useState<SpanName>("3d");
  const { firstReadingMs } = page.yard.season;
  const beatMs = Math.max(600_000, 10_000 * page.yard.yard.clockSpeed);
  const nowMs = Math.floor(page.nowMs / beatMs) * beatMs;
  const span = spanOf(name, { nowMs, firstReadingMs });
  const { value, problem } = useAsked<Compare>(
    `/trees/compare${spanQuery({ fromMs: span.fromMs, toMs: span.toMs })}`,
  );
  const trees = rankedTrees(value?.trees ?? []);
  return (
    <>
      <h2>Which tree runs best?</h2>
      <Choice
        legend="Compare over"
        names={spanNames}
        words={spanWords}
        now={name}
        choose={setName}
      />
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && trees.length === 0 && (
        <p class="soft">No tree has a bucket yet. Give the buckets their trees in the set-up.</p>
      )}
      {trees.length > 0 && (
        <>
          <SmallCurves trees={trees} span={span} page={page} />
          <RankTable trees={trees} page={page} />
          <WeakTaps trees={trees} />
        </>
      )}
      <SeasonHints />
    </>
  );
}

type Curves = { curves: Map<string, Curve>; problem: string | undefined };

function useCurves(trees: RankedTree[], span: Span): Curves {
  const [state, setState] = useState<Curves>({ curves: new Map(), problem: undefined });
  const ids = trees.flatMap(({ bucketIds }) => bucketIds.slice(0, 1)).join(" ");
  const { fromMs, toMs } = span;
  useEffect(() => {
    let isCurrent = true;
    const query = spanQuery({ fromMs, toMs, stepMs: (toMs - fromMs) / 160 });
    const asked = ids.split(" ").map(async (id) => {
      const curve = await callApi<Curve>("GET", `/buckets/${id}/curve${query}`);
      return [id, curve] as const;
    });
    Promise.all(asked).then(
      (pairs) => isCurrent && setState({ curves: new Map(pairs), problem: undefined }),
      (error) =>
        isCurrent && setState((before) => ({ ...before, problem: problemFromError(error) })),
    );
    return () => {
      isCurrent = false;
    };
  }, [ids, fromMs, toMs]);
  return state;
}

function SmallCurves(props: { trees: RankedTree[]; span: Span; page: PageFrame }) {
  const { trees, span, page } = props;
  const { curves, problem } = useCurves(trees, span);
  const drawn = [...curves.values()].map((curve) => ({ flow: curve.flowLPerH }));
  const topL = sharedTop(drawn);
  return (
    <figure class="small-curves">
      <figcaption class="soft">
        Flow from {formatMoment(span.fromMs, page)} until now; every curve's upper edge is{" "}
        {formatFlow(topL, page.units)}.
      </figcaption>
      <Outcome sending={{ problem, done: undefined }} />
      <ol>
        {trees.map((tree) => (
          <TreeCurveRow key={tree.treeId} tree={tree} curves={curves} span={span} top={topL} />
        ))}
      </ol>
    </figure>
  );
}

function TreeCurveRow(props: {
  tree: RankedTree;
  curves: Map<string, Curve>;
  span: Span;
  top: number;
}) {
  const { tree, curves, span, top } = props;
  const [bucketId] = tree.bucketIds;
  const curve = curves.get(bucketId ?? "");
  return (
    <li>
      {bucketId === undefined ? (
        <span>{tree.label}</span>
      ) : (
        <a href={hashFromRoute({ view: "bucket", id: bucketId })}>{tree.label}</a>
      )}
      {curve !== undefined && (
        <SmallCurve
          times={curve.atMs}
          flow={curve.flowLPerH}
          fromMs={span.fromMs}
          toMs={span.toMs}
          top={top}
          words={`Flow of ${tree.label}`}
        />
      )}
    </li>
  );
}
