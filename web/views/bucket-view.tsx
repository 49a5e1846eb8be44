// One bucket and its tree: curves, facts, gatherings, settings.
import { steadyWords } from "../../shared/people/brim-words.ts";
import { contradictionWords } from "../../shared/people/contradiction.ts";
import { formatAge, formatFlow, formatMass, formatVolume } from "../../shared/people/format.ts";
import { wetWords } from "../../shared/people/wet-words.ts";
import type { BucketView } from "../../shared/wire/api.ts";
import { TreeCurves } from "../charts/tree-curve.tsx";
import { formatFlowRange } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import {
  aheadAdvice,
  brimWords,
  keepingAdvice,
  keepingWords,
  laidOnAdvice,
  riskWords,
  stateWords,
} from "../pail-words.ts";
import { Branch } from "../parts/branch.tsx";
import { BucketForm, DeleteBucket, ParkButton } from "../parts/bucket-form.tsx";
import { Gatherings } from "../parts/gatherings.tsx";
import { PailDrawing } from "../parts/pail-drawing.tsx";
import { TreeSugars } from "../parts/tree-sugar.tsx";
import { Washed } from "../parts/washed.tsx";
import { hashFromRoute } from "../routes.ts";

type Viewed = { bucket: BucketView; page: PageFrame };

export function BucketPage({ page, id }: { page: PageFrame; id: string }) {
  const bucket = page.yard.buckets.find((one) => one.id === id);
  if (bucket === undefined) {
    return (
      <p class="sentence">
        No bucket hangs here by that name.{" "}
        <a href={hashFromRoute({ view: "yard" })}>To the pails</a>
      </p>
    );
  }
  const laidOn = laidOnAdvice(bucket, page);
  const ahead = aheadAdvice(bucket);
  return (
    <div class="bucket-page" key={id}>
      <header class="bucket-head">
        <div class="hung">
          <Branch index={0} />
          <PailDrawing bucket={bucket} />
        </div>
        <div class="bucket-words">
          <h2>{bucket.label}</h2>
          {bucket.tree !== null && bucket.tree.label !== bucket.label && (
            <p class="soft">on {bucket.tree.label}</p>
          )}
          <p class="bucket-state">{stateWords(bucket, page.nowMs)}</p>
        </div>
      </header>
      {bucket.contradiction !== null && (
        <p class="margin-note">{contradictionWords(bucket.contradiction)}</p>
      )}
      {laidOn !== undefined && <p class="margin-note">{laidOn}</p>}
      {ahead !== undefined && <p class="margin-note">{ahead}</p>}
      <Facts bucket={bucket} page={page} />
      <TreeCurves bucket={bucket} page={page} />
      <Gatherings page={page} bucketId={bucket.id} />
      {bucket.role === "sap" && <Washed bucket={bucket} page={page} />}
      {bucket.tree !== null && <TreeSugars treeId={bucket.tree.id} page={page} />}
      <section>
        <h2>This bucket</h2>
        <BucketForm bucket={bucket} page={page} />
        <p class="row-ways">
          <ParkButton bucket={bucket} page={page} />
          <DeleteBucket bucket={bucket} page={page} />
        </p>
      </section>
    </div>
  );
}

function Facts({ bucket, page }: Viewed) {
  const { units, nowMs } = page;
  const known = <T,>(value: T | null, words: (value: T) => string) =>
    value === null ? "not known" : words(value);
  const rows: [string, string][] = [
    [
      "Holds",
      `${known(bucket.volumeL, (value) => formatVolume(value, units))} of ${formatVolume(bucket.capacityL, units)}`,
    ],
    ["Runs", flowWords(bucket, page)],
    ...wetRow(bucket, units),
    ["Today", known(bucket.todayL, (value) => formatVolume(value, units))],
    [
      "Brim",
      bucket.state === "brimful" ? "at the rim now" : (brimWords(bucket, page) ?? "not in sight"),
    ],
    ...steadyRow(bucket, page),
    ["Keeping", keepingWords(bucket, page) ?? bucket.keepingMissing ?? longKeeping(bucket)],
    ...riskRow(bucket, units),
    [
      "Weighs",
      `${known(bucket.massKg, (value) => formatMass(value, units))} on ${bucket.cell ?? "no cell"}`,
    ],
    ["Last reading", known(bucket.lastReadingMs, (atMs) => formatAge(nowMs - atMs))],
  ];
  return (
    <>
      <dl class="facts">
        {rows.map(([name, words]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
      {bucket.keeping !== null && <p class="soft">{keepingAdvice}</p>}
    </>
  );
}

/** A second opinion beside the forecast. */
function steadyRow(bucket: BucketView, page: PageFrame): [string, string][] {
  const words = bucket.state === "running" ? steadyWords(bucket, page) : undefined;
  return words === undefined ? [] : [["Simple sum", words]];
}

function wetRow({ wet }: BucketView, units: PageFrame["units"]): [string, string][] {
  const words = wetWords(wet, units);
  return words.length === 0 ? [] : [["Not sap", words.join("; ")]];
}

function riskRow(bucket: BucketView, units: PageFrame["units"]): [string, string][] {
  const words = riskWords(bucket, units);
  return words === undefined ? [] : [["The sap", words]];
}

function flowWords(bucket: BucketView, { units }: PageFrame): string {
  const { flowLPerH, flowLowLPerH, flowHighLPerH } = bucket;
  if (flowLPerH === null) return "not known";
  const flow = formatFlow(flowLPerH, units);
  if (flowLowLPerH === null || flowHighLPerH === null) return flow;
  if (bucket.state === "brimful") return `${flow} or more: it stands at its rim`;
  return `${flow}, likely ${formatFlowRange(flowLowLPerH, flowHighLPerH, units)}`;
}

/** No boil-by within its horizon: there is no sap, or it is as good as frozen. */
function longKeeping({ volumeL }: BucketView): string {
  return (volumeL ?? 0) < 0.2 ? "nothing to keep" : "two weeks and more, as cold as it is";
}
