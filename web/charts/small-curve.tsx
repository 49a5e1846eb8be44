// A small flow curve as plain SVG, for many trees on one scale.
import type { Column } from "./curve-data.ts";

const smallBox = { width: 200, height: 56 };

/** Pieces of line between the gaps; `top` is the flow at the upper edge. */
export function smallPaths(from: {
  times: number[];
  flow: Column;
  fromMs: number;
  toMs: number;
  top: number;
}): string[] {
  const { times, flow, fromMs, toMs, top } = from;
  const pieces: string[][] = [[]];
  for (const [index, atMs] of times.entries()) {
    const value = flow[index] ?? null;
    if (value === null) {
      pieces.push([]);
      continue;
    }
    const x = ((atMs - fromMs) / (toMs - fromMs)) * smallBox.width;
    const y = smallBox.height - (Math.max(0, value) / top) * (smallBox.height - 2);
    pieces.at(-1)?.push(`${x.toFixed(1)} ${y.toFixed(1)}`);
  }
  return pieces.filter((piece) => piece.length > 1).map((piece) => `M${piece.join("L")}`);
}

/** Closes a piece of line down to the base. */
function filledPath(line: string): string {
  const first = line.slice(1).split(" ")[0];
  const last = line.split("L").at(-1)?.split(" ")[0];
  return `${line}L${last} ${smallBox.height}L${first} ${smallBox.height}Z`;
}

export function SmallCurve(props: {
  times: number[];
  flow: Column;
  fromMs: number;
  toMs: number;
  top: number;
  words: string;
}) {
  const paths = smallPaths(props);
  return (
    <svg
      class="small-curve"
      viewBox={`0 0 ${smallBox.width} ${smallBox.height}`}
      preserveAspectRatio="none"
      role="img"
      aria-label={props.words}
    >
      {paths.map((d) => (
        <path key={d} class="small-fill" d={filledPath(d)} />
      ))}
      <path class="small-base" d={`M0 ${smallBox.height}H${smallBox.width}`} />
      {paths.map((d) => (
        <path key={d} class="small-line" d={d} />
      ))}
    </svg>
  );
}

/** The one scale of all curves: the highest flow among them, never below a trickle. */
export function sharedTop(curves: { flow: Column }[]): number {
  const highest = curves
    .flatMap(({ flow }) => flow)
    .reduce<number>((top, value) => Math.max(top, value ?? 0), 0);
  return Math.max(0.05, highest);
}
