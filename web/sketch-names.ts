// On which side of its dot each name on the sketch stands, so that names run into each other as little as can be.
import { paperShape } from "./sketch-frame.ts";

export type NameSide = "below" | "above" | "right" | "left";
type Named = { name: string; x: number; y: number };
type Box = { left: number; top: number; width: number; height: number };

/** Worked out for a phone's width; on wider paper there is more room. */
const paper = { width: 336, height: 336 / paperShape };
const letter = { width: 6.6, height: 15 };
const dot = 16;
const sides: readonly NameSide[] = ["below", "above", "right", "left"];
/** Cut off at the edge is worse than touching another. */
const edgeWeight = 4;

/** In the order given; `x` and `y` are shares of the paper. Earlier names have the first choice. */
export function nameSides(places: readonly Named[]): NameSide[] {
  const taken: Box[] = places.map(({ x, y }) => ({
    left: x * paper.width - dot / 2,
    top: y * paper.height - dot / 2,
    width: dot,
    height: dot,
  }));
  return places.map((place) => {
    const tried = sides.map((side) => {
      const box = boxAt(place, side);
      return { side, box, cost: costOf(box, taken) };
    });
    const best = tried.reduce((least, one) => (one.cost < least.cost - 0.5 ? one : least));
    taken.push(best.box);
    return best.side;
  });
}

function boxAt({ name, x, y }: Named, side: NameSide): Box {
  const width = name.length * letter.width;
  const [centre, middle] = [x * paper.width, y * paper.height];
  const beside = dot / 2 + 2;
  const left = {
    below: centre - width / 2,
    above: centre - width / 2,
    right: centre + beside,
    left: centre - beside - width,
  }[side];
  const top = {
    below: middle + dot / 2,
    above: middle - dot / 2 - letter.height,
    right: middle - letter.height / 2,
    left: middle - letter.height / 2,
  }[side];
  return { left, top, width, height: letter.height };
}

function costOf(box: Box, taken: readonly Box[]): number {
  const whole = { left: 0, top: 0, ...paper };
  const outside = box.width * box.height - shared(box, whole);
  return taken.reduce((sum, other) => sum + shared(box, other), edgeWeight * outside);
}

/** The area that two boxes share, in px². */
function shared(one: Box, other: Box): number {
  const width =
    Math.min(one.left + one.width, other.left + other.width) - Math.max(one.left, other.left);
  const height =
    Math.min(one.top + one.height, other.top + other.height) - Math.max(one.top, other.top);
  return width > 0 && height > 0 ? width * height : 0;
}
