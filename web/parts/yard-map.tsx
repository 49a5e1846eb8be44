// The pails as they stand in the yard, on the same sketch as the round; its trees may be moved here too.
import { useState } from "preact/hooks";
import type { BucketView, DoNowPart } from "../../shared/wire/api.ts";
import type { Sketch } from "../../shared/wire/rounds.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { litresWords, pailLabel, stateWords } from "../pail-words.ts";
import { hashFromRoute } from "../routes.ts";
import { lowFrameOf, type SketchFrame, type SketchPlace, shareOf } from "../sketch-frame.ts";
import { Outcome } from "./outcome.tsx";
import { PailDrawing } from "./pail-drawing.tsx";
import { SketchPaper } from "./sketch.tsx";
import { NotYetDrawn } from "./sketch-section.tsx";

type TodoOf = (bucketId: string) => DoNowPart["verb"] | undefined;

export function YardMap({ page, todoOf }: { page: PageFrame; todoOf: TodoOf }) {
  const [asked, setAsked] = useState(0);
  const [isMoving, setMoving] = useState(false);
  const { value: sketch, problem } = useAsked<Sketch>("/sketch", asked);
  const sending = useSending();
  if (sketch === undefined) return <Outcome sending={{ problem, done: undefined }} />;
  const change = (body: unknown) =>
    sending.send(async () => {
      await callApi("PATCH", "/sketch", body);
      setAsked((count) => count + 1);
    });
  const move = (place: SketchPlace) => change({ places: [place] });
  const isDrawn = sketch.places.length > 0;
  return (
    <section class="yard-map" aria-label="Pails as they stand in the yard">
      {isDrawn && isMoving && (
        <SketchPaper sketch={sketch} round={undefined} page={page} move={move} />
      )}
      {isDrawn && !isMoving && <StandingPails sketch={sketch} page={page} todoOf={todoOf} />}
      {page.mayChange && <NotYetDrawn sketch={sketch} page={page} change={change} />}
      {page.mayChange && isDrawn && (
        <p>
          <button type="button" aria-pressed={isMoving} onClick={() => setMoving(!isMoving)}>
            {isMoving ? "Done moving" : "Move the trees"}
          </button>{" "}
          {isMoving && <span class="soft">Drag them, or use the arrow keys.</span>}
        </p>
      )}
      <Outcome sending={sending} />
    </section>
  );
}

function StandingPails(props: { sketch: Sketch; page: PageFrame; todoOf: TodoOf }) {
  const { sketch, page, todoOf } = props;
  const frame = lowFrameOf(sketch.places);
  const placed = sketch.places.map((place) => ({ place, buckets: bucketsAt(place, page) }));
  const shown = new Set(placed.flatMap(({ buckets }) => buckets.map(({ id }) => id)));
  const others = page.yard.buckets.filter(({ id }) => !shown.has(id));
  return (
    <>
      <div class="map-scroll">
        <ul class="map" style={{ aspectRatio: `${frame.widthM} / ${frame.heightM}` }}>
          {placed.map(({ place, buckets }) => (
            <Standing key={place.place} place={place} frame={frame}>
              {place.place === "home" && <HomeMark />}
              {buckets.map((bucket) => (
                <SmallPail key={bucket.id} bucket={bucket} page={page} todo={todoOf(bucket.id)} />
              ))}
            </Standing>
          ))}
        </ul>
      </div>
      {others.length > 0 && (
        <ul class="map-others" aria-label="Not on the sketch">
          {others.map((bucket) => (
            <li key={bucket.id}>
              <SmallPail bucket={bucket} page={page} todo={todoOf(bucket.id)} />
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

function bucketsAt({ place }: SketchPlace, { yard }: PageFrame): BucketView[] {
  return yard.buckets.filter(({ tree }) => tree !== null && place === `tree/${tree.id}`);
}

function Standing(props: {
  place: SketchPlace;
  frame: SketchFrame;
  children: preact.ComponentChildren;
}) {
  const { x, y } = shareOf(props.frame, props.place);
  return (
    <li class="standing" style={{ left: `${100 * x}%`, top: `${100 * y}%` }}>
      {props.children}
    </li>
  );
}

function HomeMark() {
  return (
    <span class="map-home">
      <svg viewBox="0 0 40 36" aria-hidden="true">
        <path d="M3 18 L20 4 L37 18 M8 15 V33 H32 V15 M17 33 V23 H24 V33" />
      </svg>
      Home
    </span>
  );
}

function SmallPail(props: {
  bucket: BucketView;
  page: PageFrame;
  todo: DoNowPart["verb"] | undefined;
}) {
  const { bucket, page, todo } = props;
  const words = litresWords(bucket, page.units) ?? stateWords(bucket, page.nowMs);
  return (
    <a
      class={`small-pail is-${bucket.state}`}
      href={hashFromRoute({ view: "bucket", id: bucket.id })}
    >
      <span class="unseen">{pailLabel(bucket, page, todo)}</span>
      <span aria-hidden="true" class="small-face">
        <PailDrawing bucket={bucket} />
        <b>{words}</b>
        <span>{bucket.label}</span>
        {todo !== undefined && <span class="small-todo">{todo}</span>}
      </span>
    </a>
  );
}
