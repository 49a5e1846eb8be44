// Lays a partial change over a record.

/** The record with every field of the change that is there; what is undefined stays. */
export function changedBy<T extends object>(
  record: T,
  change: { [K in keyof T]?: T[K] | undefined },
): T {
  const given = Object.entries(change).filter(([, value]) => value !== undefined);
  return { ...record, ...Object.fromEntries(given) };
}
