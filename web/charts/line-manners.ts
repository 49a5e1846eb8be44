// Manners of line that can be told apart without colour, for a few trees picked among many.
import type { Inks } from "./inks.ts";

export type LineManner = { ink: keyof Inks; dash: number[]; width: number };

/** More than these can't be told apart. */
export const lineManners: readonly LineManner[] = [
  { ink: "ink", dash: [], width: 2.4 },
  { ink: "warm", dash: [8, 4], width: 2.4 },
  { ink: "ice", dash: [], width: 1.4 },
  { ink: "ink", dash: [2, 3], width: 2.4 },
  { ink: "warm", dash: [], width: 1.4 },
  { ink: "ice", dash: [10, 3, 2, 3], width: 2.4 },
];

export const faintManner: LineManner = { ink: "rule", dash: [], width: 1 };

/** By tree, the manner of each that is picked, in the order of picking; the others have none. */
export function mannersOf(picked: readonly string[]): Map<string, LineManner> {
  return new Map(
    picked
      .slice(0, lineManners.length)
      .map((treeId, place) => [treeId, lineManners[place] ?? faintManner]),
  );
}

/** Picks a tree or lets it go; a pick beyond what can be told apart changes nothing. */
export function pickedWith(picked: readonly string[], treeId: string): string[] {
  if (picked.includes(treeId)) return picked.filter((one) => one !== treeId);
  return picked.length < lineManners.length ? [...picked, treeId] : [...picked];
}
