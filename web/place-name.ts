// What people call a place of the sketch.
import type { PageFrame } from "./page-frame.ts";

/** "home" is where the sap is taken; a tree goes by its label. */
export function placeName(place: string, { yard }: PageFrame): string {
  if (place === "home") return "Home";
  const treeId = place.replace(/^tree\//, "");
  return yard.buckets.find(({ tree }) => tree?.id === treeId)?.tree?.label ?? treeId;
}

/** Home and every tree with a bucket, each once. */
export function placesOf({ yard }: PageFrame): string[] {
  const trees = yard.buckets.flatMap(({ tree }) => (tree === null ? [] : [`tree/${tree.id}`]));
  return ["home", ...new Set(trees)];
}
