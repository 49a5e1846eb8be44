// The sketch of the yard: trees and home on a sheet of paper, moved by dragging or with the arrow keys.
import { useEffect, useRef, useState } from "preact/hooks";
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import type { NextRound, Sketch } from "../../shared/wire/rounds.ts";
import type { PageFrame } from "../page-frame.ts";
import { placeName } from "../place-name.ts";
import {
  heldFrame,
  metresAt,
  paperShape,
  type SketchFrame,
  type SketchPlace,
  shareOf,
  steppedBy,
} from "../sketch-frame.ts";
import { type NameSide, nameSides } from "../sketch-names.ts";

export type SketchPaperProps = {
  sketch: Sketch;
  round: NextRound | undefined;
  page: PageFrame;
  move: (place: SketchPlace) => void;
};

export function SketchPaper({ sketch, round, page, move }: SketchPaperProps) {
  const paper = useRef<HTMLDivElement>(null);
  const [dragged, setDragged] = useState<SketchPlace | undefined>(undefined);
  const [dropped, setDropped] = useState<SketchPlace | undefined>(undefined);
  const held = useRef<SketchFrame | undefined>(undefined);
  held.current = heldFrame(held.current, sketch.places);
  const frame = held.current;
  // What was dropped stays where it is until the server's answer brings it there.
  useEffect(() => setDropped(undefined), [sketch]);
  const shown = dragged ?? dropped;
  const places = sketch.places.map((one) => (one.place === shown?.place ? shown : one));
  const sides = nameSides(
    places.map((one) => ({ name: placeName(one.place, page), ...shareOf(frame, one) })),
  );
  const pointAt = (event: PointerEvent, place: string): SketchPlace | undefined => {
    const box = paper.current?.getBoundingClientRect();
    if (box === undefined) return undefined;
    const x = (event.clientX - box.left) / box.width;
    const y = (event.clientY - box.top) / box.height;
    return { place, ...metresAt(frame, { x, y }) };
  };
  const drop = () => {
    if (dragged !== undefined) move(dragged);
    setDropped(dragged);
    setDragged(undefined);
  };
  return (
    <div class="sketch" ref={paper}>
      <Ways frame={frame} places={places} round={round} page={page} />
      {places.map((one, index) => (
        <Place
          key={one.place}
          place={one}
          side={sides[index] ?? "below"}
          frame={frame}
          page={page}
          drag={(event) => setDragged(pointAt(event, one.place))}
          drop={drop}
          step={move}
        />
      ))}
    </div>
  );
}

/** The round's walk, drawn from place to place. */
function Ways(props: {
  frame: SketchFrame;
  places: readonly SketchPlace[];
  round: NextRound | undefined;
  page: PageFrame;
}) {
  const { frame, places, round, page } = props;
  const at = (name: string) => {
    const place = places.find((one) => one.place === name);
    if (place === undefined) return undefined;
    const { x, y } = shareOf(frame, place);
    return `${(x * 100 * paperShape).toFixed(1)} ${(y * 100).toFixed(1)}`;
  };
  const placeOf = (bucketId: string) => {
    const tree = page.yard.buckets.find(({ id }) => id === bucketId)?.tree;
    return tree === undefined || tree === null ? "" : `tree/${tree.id}`;
  };
  const walks = (round?.trips ?? []).map(({ stops }) => {
    const names = ["home", ...stops.map(({ bucketId }) => placeOf(bucketId)), "home"];
    return names.map(at).filter((point) => point !== undefined);
  });
  return (
    <svg viewBox={`0 0 ${100 * paperShape} 100`} preserveAspectRatio="none" aria-hidden="true">
      {walks.map((points) => (
        <path key={points.join()} d={`M${points.join(" L")}`} />
      ))}
    </svg>
  );
}

function Place(props: {
  place: SketchPlace;
  side: NameSide;
  frame: SketchFrame;
  page: PageFrame;
  drag: (event: PointerEvent) => void;
  drop: () => void;
  step: (place: SketchPlace) => void;
}) {
  const { place, frame, page, drag, drop, step } = props;
  const { x, y } = shareOf(frame, place);
  const name = placeName(place.place, page);
  const metres = (value: number) =>
    formatQuantity(Math.round(value), quantities.distanceM, page.units);
  const where = `${metres(Math.abs(place.xM))} ${place.xM < 0 ? "left" : "right"}, ${metres(Math.abs(place.yM))} ${place.yM < 0 ? "up" : "down"}`;
  return (
    <button
      type="button"
      class={place.place === "home" ? "place is-home" : "place"}
      style={{ left: `${100 * x}%`, top: `${100 * y}%` }}
      aria-label={`${name}, ${where}. Arrow keys move it`}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={(event) => {
        if (event.currentTarget.hasPointerCapture(event.pointerId)) drag(event);
      }}
      onPointerUp={drop}
      onPointerCancel={drop}
      onKeyDown={(event) => {
        const moved = steppedBy(place, event);
        if (moved === undefined) return;
        event.preventDefault();
        step(moved);
      }}
    >
      <span class="place-dot" aria-hidden="true" />
      <span class={`place-name is-${props.side}`} aria-hidden="true">
        {name}
      </span>
    </button>
  );
}
