// Brings together what the comparison of trees needs: days, trees, sugar, their taps and the buckets under them.
import { localParts } from "../../shared/local-time.ts";
import type { Compare } from "../../shared/wire/api.ts";
import type { SugarStore } from "../db/sugars.ts";
import type { TapStore } from "../db/taps.ts";
import type { Tracks } from "../db/tracks.ts";
import type { TreeStore } from "../db/trees.ts";
import { compareTrees, type Hanging } from "../domain/compare.ts";
import { mean } from "../domain/middle.ts";
import type { Roll } from "./roll.ts";

export type CompareParts = {
  tracks: Tracks;
  trees: TreeStore;
  taps: TapStore;
  sugars: Pick<SugarStore, "list">;
  roll: Roll;
  timeZone: () => string;
};

/** Each tree over the local days that the span touches; parked and control buckets count for none. */
export function compareOver(
  parts: CompareParts,
  { fromMs, toMs }: { fromMs: number; toMs: number },
): Compare {
  const timeZone = parts.timeZone();
  const dayOf = (atMs: number) => localParts(atMs, timeZone).dayKey;
  const rows = parts.tracks.listDays(dayOf(fromMs), dayOf(Math.max(fromMs, toMs - 1)));
  const days = rows.map(({ onsetMs, ...row }) =>
    onsetMs === undefined ? row : { ...row, onsetMs },
  );
  // Holes of earlier years share in nothing.
  const taps = parts.taps.list().filter(({ pulledMs }) => (pulledMs ?? toMs) >= fromMs);
  const sugars = parts.sugars.list().filter(({ atMs }) => atMs >= fromMs && atMs < toMs);
  const trees = parts.trees.list().map((tree) => {
    const own = new Set(taps.filter(({ treeId }) => treeId === tree.id).map(({ id }) => id));
    return {
      treeId: tree.id,
      label: tree.label,
      taps: own.size,
      hangings: hangingsUnder(parts.roll, own, dayOf),
      sugarBrix: meanBrix(sugars.filter(({ treeId }) => treeId === tree.id)),
    };
  });
  return { fromMs, toMs, trees: compareTrees(days, trees, timeZone) };
}

function meanBrix(sugars: readonly { brix: number }[]): number | null {
  return sugars.length === 0 ? null : mean(sugars.map(({ brix }) => brix));
}

function hangingsUnder(
  roll: Roll,
  tapIds: ReadonlySet<string>,
  dayOf: (atMs: number) => string,
): Hanging[] {
  return roll.all().flatMap(({ bucket, hangings }) =>
    bucket.role === "control"
      ? []
      : hangings.flatMap((hanging) => {
          const taps = hanging.tapIds.filter((id) => tapIds.has(id)).length;
          if (taps === 0) return [];
          const until = hanging.untilMs === null ? {} : { throughDay: dayOf(hanging.untilMs) };
          return [{ bucketId: bucket.id, taps, fromDay: dayOf(hanging.fromMs), ...until }];
        }),
  );
}
