// Hangs the buckets of a season one instant after the other, as people did, where no cell ever carries two.
import type { Stores } from "../db/stores.ts";
import type { Watch } from "../watch/watch.ts";
import type { HungBucket, Season } from "./season-file.ts";

export type Rehanging = {
  /** All that changed up to then and wasn't hung yet. */
  hangUntil(nowMs: number): void;
  /** When something changes next; Infinity when nothing does. */
  nextMs(): number;
};

export function createRehanging({ hung }: Season, stores: Stores, watch: Watch): Rehanging {
  const rows = [...hung].flatMap(([name, all]) => all.map((bucket) => ({ name, bucket })));
  const waiting = rows.sort((one, other) => one.bucket.fromMs - other.bucket.fromMs);
  const nextMs = () => waiting[0]?.bucket.fromMs ?? Number.POSITIVE_INFINITY;
  /** Ids of the replay's own store by those of the files. */
  const ids = new Map<string, string>();

  function put(name: string, bucket: HungBucket, nowMs: number): void {
    const id = ids.get(name);
    const { role: _, ...changed } = bucket;
    const change =
      id === undefined
        ? stores.buckets.insert({ ...bucket, tapIds: [] }, nowMs)
        : stores.buckets.update(id, changed, nowMs);
    ids.set(name, change.bucket.id);
    watch.recordsChanged({ bucketId: change.bucket.id, fromMs: bucket.fromMs });
  }

  function hangNext(nowMs: number): void {
    const fromMs = nextMs();
    const together = waiting.filter(({ bucket }) => bucket.fromMs === fromMs);
    waiting.splice(0, together.length);
    // Two that change cells at one instant both come off before either is hung.
    for (const { name, bucket } of together) {
      if (ids.has(name)) put(name, { ...bucket, cell: null }, nowMs);
    }
    for (const { name, bucket } of together) put(name, bucket, nowMs);
  }

  return {
    nextMs,
    hangUntil(nowMs) {
      while (nextMs() <= nowMs) hangNext(nowMs);
    },
  };
}
