// The trees and taps on record, asked for again after each change.
import { useState } from "preact/hooks";
import type { Tap, Tree } from "../shared/wire/records.ts";
import { useAsked } from "./asking.ts";
import type { DrawnHole } from "./parts/trunk.tsx";

export type TreeRecords = {
  /** Undefined until the server has answered. */
  trees: Tree[] | undefined;
  taps: Tap[] | undefined;
  problem: string | undefined;
  reload: () => void;
};

export function useTreeRecords(): TreeRecords {
  const [asked, setAsked] = useState(0);
  const trees = useAsked<Tree[]>("/trees", asked);
  const taps = useAsked<Tap[]>("/taps", asked);
  return {
    trees: trees.value,
    taps: taps.value,
    problem: trees.problem ?? taps.problem,
    reload: () => setAsked((count) => count + 1),
  };
}

/** Those of a tree, the ones in use first, then the latest drilled. */
export function tapsOf(taps: readonly Tap[], treeId: string): Tap[] {
  return taps
    .filter((tap) => tap.treeId === treeId)
    .sort(
      (a, b) =>
        Number(a.pulledMs !== null) - Number(b.pulledMs !== null) ||
        (b.tappedMs ?? 0) - (a.tappedMs ?? 0) ||
        a.label.localeCompare(b.label),
    );
}

/** The holes whose place is known, as the drawing takes them. */
export function drawnHoles(taps: readonly Tap[]): DrawnHole[] {
  return taps.flatMap(({ id, label, pulledMs, aroundCm, heightCm }) =>
    aroundCm === null || heightCm === null
      ? []
      : [{ id, label, isOld: pulledMs !== null, aroundCm, heightCm }],
  );
}
