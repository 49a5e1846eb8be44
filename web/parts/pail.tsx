// One bucket on the line: the drawing, its litres and what it has to say; a link to its tree.
import { formatFlow } from "../../shared/people/format.ts";
import { lyingWords } from "../../shared/people/wet-words.ts";
import type { BucketView, DoNowPart } from "../../shared/wire/api.ts";
import type { PageFrame } from "../page-frame.ts";
import {
  aheadWords,
  brimWords,
  keepingWords,
  laidOnWords,
  litresWords,
  pailLabel,
  stateWords,
} from "../pail-words.ts";
import { hashFromRoute } from "../routes.ts";
import { Branch } from "./branch.tsx";
import { PailDrawing } from "./pail-drawing.tsx";
import { BrimTrack, KeepDrops } from "./pail-gauges.tsx";

export function Pail(props: {
  bucket: BucketView;
  page: PageFrame;
  index: number;
  todo?: DoNowPart["verb"] | undefined;
}) {
  const { bucket, page, index, todo } = props;
  return (
    <li class={`pail is-${bucket.state}`}>
      <Branch index={index} />
      <a href={hashFromRoute({ view: "bucket", id: bucket.id })}>
        <span class="unseen">{pailLabel(bucket, page, todo)}</span>
        <span class="pail-face" aria-hidden="true">
          <PailDrawing bucket={bucket} />
          {todo !== undefined && <span class={`tag is-${todo}`}>{todo}</span>}
          <span class="pail-name">{bucket.label}</span>
          <Figures bucket={bucket} page={page} />
          <Notes bucket={bucket} page={page} />
        </span>
      </a>
    </li>
  );
}

function Figures({ bucket, page }: { bucket: BucketView; page: PageFrame }) {
  const { flowLPerH, state } = bucket;
  const litres = litresWords(bucket, page.units);
  if (litres === undefined) return null;
  const isRunning = state === "running" || state === "brimful";
  return (
    <span class="pail-figures">
      <span class="pail-volume">{litres}</span>
      {isRunning && flowLPerH !== null && (
        <span class="pail-flow">{formatFlow(flowLPerH, page.units)}</span>
      )}
    </span>
  );
}

function Notes({ bucket, page }: { bucket: BucketView; page: PageFrame }) {
  const { brim, keeping } = bucket;
  const brims = brimWords(bucket, page);
  const keeps = keepingWords(bucket, page);
  const laidOn = laidOnWords(bucket, page);
  const ahead = aheadWords(bucket);
  const warns = bucket.alarms.includes("brim");
  const sours = bucket.alarms.includes("boil") || bucket.alarms.includes("sour");
  return (
    <>
      {bucket.state !== "running" && (
        <span class="pail-state">{stateWords(bucket, page.nowMs)}</span>
      )}
      {laidOn !== undefined && <span class="pail-note is-now">{laidOn}</span>}
      {ahead !== undefined && <span class="pail-note is-now">{ahead}</span>}
      {lyingWords(bucket.wet, page.units).map((words) => (
        <span class="pail-note" key={words}>
          {words}
        </span>
      ))}
      {brims !== undefined && brim !== null && (
        <span class={warns ? "pail-note is-now" : "pail-note"}>
          <BrimTrack brim={brim} nowMs={page.nowMs} />
          {brims}
        </span>
      )}
      {keeps !== undefined && keeping !== null && (
        <span class={sours ? "pail-note is-now" : "pail-note"}>
          <KeepDrops keeping={keeping} />
          {keeps}
        </span>
      )}
    </>
  );
}
