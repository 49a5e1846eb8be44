// Makes what one request changes all or nothing, whichever tables it goes to.
import type { Sqlite } from "../db/sqlite.ts";
import { isStoreFailure } from "../ingest/group-commit.ts";
import type { Watch } from "../watch/watch.ts";

/** Runs the work in one transaction; when it throws, nothing of what it wrote stays. */
export type Whole = <T>(work: () => T) => T;

/** What a promise still does later is outside of the transaction. */
export function createWhole(parts: {
  sqlite: Sqlite;
  watch: Pick<Watch, "recordsChanged" | "vesselsChanged">;
}): Whole {
  // In a list, as the driver takes no promise for the outcome of a transaction.
  const run = parts.sqlite.transaction(<T>(work: () => T) => [work()] as const).immediate;
  return <T>(work: () => T) => {
    try {
      return run(work)[0] as T;
    } catch (error) {
      // What the watch was told of before the commit failed is not so.
      if (isStoreFailure(error)) {
        parts.watch.recordsChanged();
        parts.watch.vesselsChanged();
      }
      throw error;
    }
  };
}
