// Two small shapes under a pail: when it brims along the next day, and how much of its keeping is left.
import { msPerHour } from "../../shared/units.ts";
import type { Brim, Keeping } from "../../shared/wire/api.ts";

const aheadMs = 24 * msPerHour;
const track = { left: 4, width: 112, middleY: 8, halfHeight: 6 };
const dropCount = 5;

/** Along the track from now to 24 h ahead; what is later stands at its end. */
export function trackX(atMs: number, nowMs: number): number {
  const share = Math.min(1, Math.max(0, (atMs - nowMs) / aheadMs));
  return track.left + share * track.width;
}

/** A line of the next 24 h, a mark every six; a lens from the early to the late time, a bar at the middle. */
export function BrimTrack({ brim, nowMs }: { brim: Brim; nowMs: number }) {
  const { t10Ms, t50Ms, t90Ms } = brim;
  const { left, width, middleY } = track;
  const quarters = [0, 1, 2, 3, 4].map((part) => left + (part / 4) * width);
  const earlyMs = t10Ms ?? t50Ms;
  return (
    <svg class="brim-track" viewBox="0 0 120 16" aria-hidden="true">
      <path class="track-line" d={`M${left} ${middleY} h${width}`} />
      {quarters.map((x) => (
        <path key={x} class="track-line" d={`M${x} ${middleY - 3} v6`} />
      ))}
      {earlyMs !== null && <path class="track-lens" d={lensPath(earlyMs, t90Ms, nowMs)} />}
      {t50Ms !== null && <path class="track-middle" d={`M${trackX(t50Ms, nowMs)} 1 v14`} />}
    </svg>
  );
}

/** Pointed at both ends; open to the right where it may never brim. */
function lensPath(earlyMs: number, lateMs: number | null, nowMs: number): string {
  const { middleY, halfHeight } = track;
  const from = trackX(earlyMs, nowMs);
  const to = Math.max(from + 6, trackX(lateMs ?? nowMs + aheadMs, nowMs));
  const [top, bottom] = [middleY - halfHeight, middleY + halfHeight];
  if (lateMs === null) return `M${from} ${middleY} L${to} ${top} V${bottom}Z`;
  const middle = (from + to) / 2;
  return `M${from} ${middleY} Q${middle} ${top - 4} ${to} ${middleY} Q${middle} ${bottom + 4} ${from} ${middleY}Z`;
}

/** Drops that are full while the sap is fresh and run empty towards its boil-by. */
export function KeepDrops({ keeping }: { keeping: Keeping }) {
  const left = dropCount - Math.min(dropCount, Math.round(keeping.spentFraction * dropCount));
  return (
    <svg class="keep-drops" viewBox={`0 0 ${dropCount * 11} 14`} aria-hidden="true">
      {Array.from({ length: dropCount }, (_, index) => (
        <path
          key={index}
          class={index < left ? "is-left" : "is-spent"}
          d={`M${index * 11 + 5.5} 1 c-2 3.4 -4 5.600 -4 8 a4 4 0 0 0 8 0 c0 -2.400 -2 -4.600 -4 -8Z`}
        />
      ))}
    </svg>
  );
}
