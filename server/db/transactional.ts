// Makes a function all or nothing.
import type { Sqlite } from "./sqlite.ts";

/** The same function in one transaction: when it throws, nothing of what it wrote stays. */
export function transactional<A extends unknown[], R>(
  sqlite: Sqlite,
  work: (...args: A) => R,
): (...args: A) => R {
  return sqlite.transaction(work);
}
