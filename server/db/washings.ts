// When people washed their buckets: what clings to the wall then is little.
import type { Sqlite } from "./sqlite.ts";

export function createWashingStore(sqlite: Sqlite) {
  const list = sqlite
    .prepare("SELECT at_ms FROM washing WHERE bucket_id = ? ORDER BY at_ms")
    .pluck();
  const put = sqlite.prepare("INSERT OR IGNORE INTO washing (bucket_id, at_ms) VALUES (?, ?)");
  const remove = sqlite.prepare("DELETE FROM washing WHERE bucket_id = ? AND at_ms = ?");
  return {
    /** Oldest first. */
    listOfBucket: (bucketId: string): number[] => list.all(bucketId) as number[],
    insert(bucketId: string, atMs: number): void {
      put.run(bucketId, atMs);
    },
    /** True when there was one. */
    remove: (bucketId: string, atMs: number): boolean => remove.run(bucketId, atMs).changes > 0,
  };
}
