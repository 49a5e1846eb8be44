// Who is watched: the buckets on record with where they hang, found by the cell that weighs them.
import type { Tree } from "../../shared/wire/records.ts";
import type { BucketStore } from "../db/buckets.ts";
import type { TapStore } from "../db/taps.ts";
import type { TreeStore } from "../db/trees.ts";
import { startWatched, type Watched } from "./watched.ts";

export type RollParts = { buckets: BucketStore; trees: TreeStore; taps: TapStore };

export type Roll = ReturnType<typeof createRoll>;

export function createRoll({ buckets, trees, taps }: RollParts) {
  const byBucket = new Map<string, Watched>();
  let byCell = new Map<number, Watched[]>();
  let treeOfTap = new Map<string, Tree>();

  /** Reads the records anew; what is known of a bucket stays. Returns those met for the first time. */
  function reload(): { met: Watched[]; gone: string[] } {
    const list = buckets.list();
    const listed = new Set(list.map(({ id }) => id));
    const gone = [...byBucket.keys()].filter((id) => !listed.has(id));
    for (const id of gone) byBucket.delete(id);
    const met: Watched[] = [];
    for (const bucket of list) {
      const hangings = buckets.hangings.listOfBucket(bucket.id);
      const washedMs = buckets.washings.listOfBucket(bucket.id);
      const known = byBucket.get(bucket.id);
      if (known) {
        Object.assign(known, { bucket, hangings, washedMs });
        continue;
      }
      const watched = startWatched({ bucket, hangings, washedMs });
      byBucket.set(bucket.id, watched);
      met.push(watched);
    }
    byCell = cellsOf(byBucket.values());
    const treeById = new Map(trees.list().map((tree) => [tree.id, tree]));
    treeOfTap = new Map(
      taps.list().flatMap((tap) => {
        const tree = treeById.get(tap.treeId);
        return tree === undefined ? [] : [[tap.id, tree] as const];
      }),
    );
    return { met, gone };
  }

  return {
    reload,
    all: () => [...byBucket.values()],
    find: (bucketId: string) => byBucket.get(bucketId),
    /** Every bucket that ever hung on a cell; empty also for a cell heard for the first time. */
    onCell: (cellKey: number): readonly Watched[] => byCell.get(cellKey) ?? [],
    treeOf: ({ bucket }: Watched): Tree | undefined => treeOfTap.get(bucket.tapIds[0] ?? ""),
    treeOfTap: (tapId: string): Tree | undefined => treeOfTap.get(tapId),
    onCellNow: () =>
      new Map(
        [...byBucket.values()].flatMap(({ bucket }) =>
          bucket.cell === null ? [] : [[bucket.cell, bucket.id] as const],
        ),
      ),
  };
}

function cellsOf(all: Iterable<Watched>): Map<number, Watched[]> {
  const byCell = new Map<number, Watched[]>();
  for (const watched of all) {
    for (const cellKey of new Set(watched.hangings.map((hanging) => hanging.cellKey))) {
      if (cellKey !== null) byCell.set(cellKey, [...(byCell.get(cellKey) ?? []), watched]);
    }
  }
  return byCell;
}
