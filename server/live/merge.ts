// Puts two changes of the yard into one, the newer winning.
import type { YardChange } from "../../shared/wire/live.ts";

/**
 * What a client has to know that saw neither: buckets and boards entry by entry, all else as
 * the newer says, where it says anything. Never larger than the whole yard.
 */
export function mergeChange(older: YardChange, newer: YardChange): YardChange {
  const merged: YardChange = { ...older, ...newer };
  if (older.boards && newer.boards) {
    merged.boards = latest(older.boards, newer.boards, (board) => board.name);
  }
  const gone = new Set(newer.gone);
  if (older.buckets) {
    const still = older.buckets.filter(({ id }) => !gone.has(id));
    merged.buckets = latest(still, newer.buckets ?? [], (bucket) => bucket.id);
  }
  if (older.gone) {
    const back = new Set(newer.buckets?.map(({ id }) => id));
    merged.gone = [...new Set([...older.gone.filter((id) => !back.has(id)), ...gone])];
  }
  return merged;
}

/** Every entry once, the newer in the older's place, new ones behind. */
function latest<T, K>(older: T[], newer: T[], keyOf: (entry: T) => K): T[] {
  return [...new Map([...older, ...newer].map((entry) => [keyOf(entry), entry])).values()];
}
