// How the sketch of the yard fits its paper: metres to shares of its width and height, and back.
import type { Sketch } from "../shared/wire/rounds.ts";

export type SketchPlace = Sketch["places"][number];
export type SketchFrame = { leftM: number; topM: number; widthM: number; heightM: number };

/** Width over height of the paper. */
export const paperShape = 1.4;
const marginShare = 0.16;
const leastWidthM = 40;
const edgeShare = 0.05;
const mostTooLarge = 2;

/** The smallest piece of paper that holds all places with a margin. */
export function frameOf(places: readonly SketchPlace[]): SketchFrame {
  const xs = places.map(({ xM }) => xM);
  const ys = places.map(({ yM }) => yM);
  const [left, right] = [Math.min(0, ...xs), Math.max(0, ...xs)];
  const [top, bottom] = [Math.min(0, ...ys), Math.max(0, ...ys)];
  const spanM = Math.max(leastWidthM, right - left, (bottom - top) * paperShape);
  const widthM = spanM / (1 - 2 * marginShare);
  const heightM = widthM / paperShape;
  return {
    leftM: (left + right - widthM) / 2,
    topM: (top + bottom - heightM) / 2,
    widthM,
    heightM,
  };
}

/** The frame there was, while it still holds all places and isn't far too large for them: what was dropped stays put. */
export function heldFrame(
  before: SketchFrame | undefined,
  places: readonly SketchPlace[],
): SketchFrame {
  const needed = frameOf(places);
  if (before === undefined || before.widthM > mostTooLarge * needed.widthM) return needed;
  const holds = places.every((place) => {
    const { x, y } = shareOf(before, place);
    return x >= edgeShare && x <= 1 - edgeShare && y >= edgeShare && y <= 1 - edgeShare;
  });
  return holds ? before : needed;
}

/** The same sketch for looking at only: no taller than its places need, with room for their pails. */
export function lowFrameOf(places: readonly SketchPlace[]): SketchFrame {
  const frame = frameOf(places);
  const ys = places.map(({ yM }) => yM);
  const [top, bottom] = [Math.min(0, ...ys), Math.max(0, ...ys)];
  const roomM = frame.widthM / 9;
  return { ...frame, topM: top - roomM, heightM: bottom - top + 2.2 * roomM };
}

/** Where a place lies on the paper, as shares of its width and height. */
export function shareOf(frame: SketchFrame, { xM, yM }: Pick<SketchPlace, "xM" | "yM">) {
  return { x: (xM - frame.leftM) / frame.widthM, y: (yM - frame.topM) / frame.heightM };
}

/** The place at shares of the paper, held on it, to the tenth of a metre. */
export function metresAt(frame: SketchFrame, { x, y }: { x: number; y: number }) {
  const held = (share: number) => Math.min(0.98, Math.max(0.02, share));
  const tenth = (metres: number) => Math.round(metres * 10) / 10;
  return {
    xM: tenth(frame.leftM + held(x) * frame.widthM),
    yM: tenth(frame.topM + held(y) * frame.heightM),
  };
}

const stepsM: Record<string, { xM: number; yM: number }> = {
  ArrowLeft: { xM: -1, yM: 0 },
  ArrowRight: { xM: 1, yM: 0 },
  ArrowUp: { xM: 0, yM: -1 },
  ArrowDown: { xM: 0, yM: 1 },
};

/** Where an arrow key moves a place: a metre, with shift five; undefined for any other key. */
export function steppedBy(
  place: SketchPlace,
  { key, shiftKey }: { key: string; shiftKey: boolean },
): SketchPlace | undefined {
  const step = stepsM[key];
  if (step === undefined) return undefined;
  const times = shiftKey ? 5 : 1;
  return { ...place, xM: place.xM + times * step.xM, yM: place.yM + times * step.yM };
}
