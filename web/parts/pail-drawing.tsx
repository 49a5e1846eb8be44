// A pail on its spile, drawn: level, drip and state by shape, so that it reads without colour.
import type { BucketView } from "../../shared/wire/api.ts";
import { isEmpty } from "../pail-words.ts";
import {
  bailPath,
  bodyPath,
  crackPath,
  floorPath,
  icePath,
  pailBox,
  rim,
  sapPath,
  surfaceAt,
} from "./pail-shape.ts";

type Drawn = { bucket: BucketView };

export function PailDrawing({ bucket }: Drawn) {
  const { state } = bucket;
  const hangs = state !== "away" && state !== "parked";
  return (
    <svg
      class={`pail-drawing is-${state}`}
      viewBox={`0 0 ${pailBox.width} ${pailBox.height}`}
      aria-hidden="true"
    >
      {hangs ? <HungPail bucket={bucket} /> : <OffPail state={state} />}
      <Spile />
      {state === "frozen" && <path class="icicle" d="M51.5 18 L57 54 L61.5 19Z" />}
      <Drip bucket={bucket} />
    </svg>
  );
}

function Spile() {
  return (
    <g class="spile">
      <path class="wire" d="M70 8 C82 6 86 18 79 25 C75 29 71 28 70 28" />
      <path class="spile-tube" d="M62 -6 L77 -6 L62 19 L51 17Z" />
    </g>
  );
}

function HungPail({ bucket }: Drawn) {
  return (
    <g>
      <path class="wire" d={bailPath} />
      <ellipse class="pail-mouth" {...rim} />
      <path class="pail-body" d={bodyPath} />
      {isEmpty(bucket) && <path class="floor" d={floorPath} />}
      <Contents bucket={bucket} />
      <Measure />
      <path class="pail-outline" d={bodyPath} />
      <ellipse class="pail-rim" {...rim} />
      <circle class="ear" cx="26" cy="70" r="2.6" />
      <circle class="ear" cx="114" cy="70" r="2.6" />
      <StateMark bucket={bucket} />
    </g>
  );
}

/** Quarter marks on the side, as on a measuring jug. */
function Measure() {
  const marks = [0.25, 0.5, 0.75].map((part) => {
    const { y, half } = surfaceAt(part);
    const length = part === 0.5 ? 13 : 8;
    return <path key={part} d={`M${70 - half + 1} ${y} l${length} 1.6`} />;
  });
  return <g class="measure">{marks}</g>;
}

function Contents({ bucket }: Drawn) {
  const { state, fullFraction, keeping } = bucket;
  if (fullFraction === null || state === "unheard") return null;
  const shown = state === "brimful" ? 1 : fullFraction;
  if (shown < 0.012) return null;
  const surface = surfaceAt(shown);
  return (
    <g class="sap">
      <path class="sap-body" d={sapPath(shown)} />
      <ellipse class="sap-surface" cx="70" cy={surface.y} rx={surface.half} ry={surface.rise} />
      {state === "frozen" && <Ice full={shown} ice={keeping?.iceFraction ?? 0.3} />}
    </g>
  );
}

function Ice({ full, ice }: { full: number; ice: number }) {
  return (
    <g class="ice">
      <path class="ice-block" d={icePath(full, ice)} />
      <path class="ice-crack" d={crackPath(full)} />
    </g>
  );
}

function StateMark({ bucket }: Drawn) {
  switch (bucket.state) {
    case "brimful":
      return (
        <g class="overflow">
          <path d="M30 71 q-5 9 -1 22 q3 6 5 0 q1 -10 1 -20Z" />
          <path d="M108 71 q6 14 2 34 q-3 6 -5 0 q0 -16 -1 -32Z" />
          <path d="M33 112 q-5 8 0 11 q5 -3 0 -11Z" />
          <path d="M104 122 q-5 8 0 11 q5 -3 0 -11Z" />
        </g>
      );
    case "silent":
      return (
        <g class="mark">
          <circle cx="70" cy="114" r="27" />
          <path d="M58 123 a17 17 0 0 1 24 0 M51 114 a27 27 0 0 1 38 0 M70 131 v0.1 M50 132 L90 96" />
        </g>
      );
    case "doubtful":
      return (
        <g class="mark">
          <path class="sign" d="M70 78 L106 114 L70 150 L34 114Z" />
          <path d="M60 106 c0 -15 21 -14 21 -1 c0 9 -11 9 -11 18 M70 135 v0.1" />
        </g>
      );
    case "unheard":
      return (
        <g class="dots">
          <path d="M58 116 v0.1 M70 116 v0.1 M82 116 v0.1" />
        </g>
      );
    default:
      return null;
  }
}

/** Lifted: a dashed ghost beside the hook. Parked: turned over to dry. */
function OffPail({ state }: { state: BucketView["state"] }) {
  if (state === "away") {
    return (
      <g class="ghost" transform="rotate(13 70 110) translate(14 8)">
        <path d={bailPath} />
        <path d={bodyPath} />
        <ellipse {...rim} />
      </g>
    );
  }
  return (
    <g class="turned" transform="rotate(180 70 113) translate(0 -4)">
      <path class="pail-body" d={bodyPath} />
      <path class="pail-outline" d={bodyPath} />
      <ellipse class="pail-mouth" {...rim} />
      <path class="wire" d="M26 70 C20 50 60 47 72 51" />
    </g>
  );
}

const dropPath = "M70 0 C66 7 64.5 9.5 64.5 12.5 a5.5 5.5 0 0 0 11 0 C75.5 9.5 74 7 70 0Z";

/** A falling drop while sap runs, a hanging empty one while it doesn't. */
function Drip({ bucket }: Drawn) {
  if (bucket.state === "running" || bucket.state === "brimful") {
    const flowLPerH = bucket.flowLPerH ?? 0;
    const pace = flowLPerH > 0.6 ? "fast" : flowLPerH > 0.2 ? "steady" : "slow";
    return (
      <g transform="translate(-14 21)">
        <path class={`drop is-falling is-${pace}`} d={dropPath} />
      </g>
    );
  }
  if (bucket.state !== "resting" || isEmpty(bucket)) return null;
  return (
    <g transform="translate(-3.4 20) scale(0.85)">
      <path class="drop is-still" d={dropPath} />
    </g>
  );
}
