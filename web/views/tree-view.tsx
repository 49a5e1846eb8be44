// One tree: its record, the bark with its holes, its taps, and the next one to drill.
import { useState } from "preact/hooks";
import { adviceWords, guidelineWords } from "../../shared/people/tree-words.ts";
import { guidelineOf } from "../../shared/trees/guidelines.ts";
import { zoneOf } from "../../shared/trees/hole.ts";
import { nextSpot } from "../../shared/trees/next-spot.ts";
import { tapAdvice } from "../../shared/trees/tap-advice.ts";
import type { Tap, Tree } from "../../shared/wire/records.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { Cautions } from "../parts/cautions.tsx";
import { Drilling } from "../parts/drilling.tsx";
import { Outcome } from "../parts/outcome.tsx";
import { TapRow } from "../parts/tap-row.tsx";
import { TreeForm } from "../parts/tree-form.tsx";
import { hashFromRoute } from "../routes.ts";
import { drawnHoles, tapsOf, useTreeRecords } from "../tree-records.ts";

export function TreePage({ page, id }: { page: PageFrame; id: string }) {
  const { trees, taps, problem, reload } = useTreeRecords();
  if (trees === undefined || taps === undefined) {
    return <Outcome sending={{ problem, done: undefined }} />;
  }
  const tree = trees.find((one) => one.id === id);
  if (tree === undefined) {
    return (
      <p class="sentence">
        No tree stands here by that name.{" "}
        <a href={hashFromRoute({ view: "trees" })}>To the trees</a>
      </p>
    );
  }
  return <TreeTold key={id} tree={tree} taps={tapsOf(taps, id)} page={page} reload={reload} />;
}

type Told = { tree: Tree; taps: Tap[]; page: PageFrame; reload: () => void };

function TreeTold({ tree, taps, page, reload }: Told) {
  const guideline = guidelineOf(page.yard.yard.tapGuideline);
  const advice = tapAdvice({ ...tree, guideline });
  const changed = async () => {
    await page.refresh();
    reload();
  };
  return (
    <>
      <p class="back">
        <a href={hashFromRoute({ view: "trees" })}>All trees</a>
      </p>
      <h2>{tree.label}</h2>
      <p>
        {adviceWords(advice, page.units)}
        <span class="soft">, by the guideline “{guidelineWords(guideline, page.units)}”</span>
      </p>
      <section>
        <h3>Its taps</h3>
        {taps.length === 0 && <p class="soft">None on record.</p>}
        <ul class="rows">
          {taps.map((tap) => (
            <TapRow key={tap.id} tap={tap} girthCm={tree.girthCm} page={page} changed={changed} />
          ))}
        </ul>
      </section>
      <section>
        <h3>The next hole</h3>
        <Cautions topic="tapping" />
        <NextHole tree={tree} taps={taps} page={page} changed={changed} />
      </section>
      <section>
        <h3>Its record</h3>
        <TreeForm page={page} tree={tree} saved={reload} />
        <DeleteTree tree={tree} taps={taps} page={page} />
      </section>
    </>
  );
}

function NextHole(props: Omit<Told, "reload"> & { changed: () => Promise<void> }) {
  const { tree, taps, page, changed } = props;
  if (tree.girthCm === null) {
    return <p class="soft">Measure the girth first: it tells how many taps the tree carries.</p>;
  }
  const holes = drawnHoles(taps);
  const zone = zoneOf(page.yard.yard.holeZone);
  const proposed = nextSpot({ girthCm: tree.girthCm, oldHoles: holes, zone });
  const guideline = guidelineOf(page.yard.yard.tapGuideline);
  const used = taps.filter(({ pulledMs }) => pulledMs === null).length;
  const room = (tapAdvice({ ...tree, guideline })?.taps ?? 0) - used;
  // A hole more or less on record is another proposal: the form begins anew.
  const holesKey = holes
    .map(({ id, aroundCm, heightCm }) => `${id} ${aroundCm} ${heightCm}`)
    .join();
  return (
    <Drilling
      key={`${holesKey} ${zone.key}`}
      {...{ tree, girthCm: tree.girthCm, holes, zone, proposed, room, page, changed }}
      unplaced={taps.length - holes.length}
    />
  );
}

function DeleteTree({ tree, taps, page }: Omit<Told, "reload">) {
  const [isAsked, setAsked] = useState(false);
  const sending = useSending();
  if (taps.length > 0) return null;
  const remove = () =>
    sending.send(async () => {
      await callApi("DELETE", `/trees/${tree.id}`);
      await page.refresh();
      location.hash = hashFromRoute({ view: "trees" });
    });
  return (
    <>
      {isAsked ? (
        <button type="button" disabled={sending.busy} onClick={remove}>
          Yes, take {tree.label} off the record
        </button>
      ) : (
        <button type="button" onClick={() => setAsked(true)}>
          Delete this tree
        </button>
      )}
      {sending.problem !== undefined && <Outcome sending={sending} />}
    </>
  );
}
