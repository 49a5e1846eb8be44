// Columns of figures on one axis of time: a fine stretch put into a coarse whole, and further ones joined to them.

export type Column = (number | null)[];
export type Columns<Name extends string> = { atMs: number[] } & Record<Name, Column>;

/** The whole with the stretch in place of what lies within it. */
export function spliced<Name extends string>(
  names: readonly Name[],
  whole: Columns<Name> | undefined,
  stretch: Columns<Name>,
): Columns<Name> {
  const firstMs = stretch.atMs[0];
  const lastMs = stretch.atMs.at(-1);
  if (whole === undefined || firstMs === undefined || lastMs === undefined) return stretch;
  const before = whole.atMs.findLastIndex((atMs) => atMs < firstMs) + 1;
  const found = whole.atMs.findIndex((atMs) => atMs > lastMs);
  const after = found < 0 ? whole.atMs.length : found;
  const joined = <T>(of: readonly T[], fine: readonly T[]) => [
    ...of.slice(0, before),
    ...fine,
    ...of.slice(after),
  ];
  const columns = names.map((name) => [name, joined(whole[name], stretch[name])] as const);
  return {
    ...Object.fromEntries(columns),
    atMs: joined(whole.atMs, stretch.atMs),
  } as Columns<Name>;
}

/** First and last place within a span; undefined when there is none. */
export function placesWithin(
  atMs: readonly number[],
  span: { fromMs: number; toMs: number },
): { first: number; last: number } | undefined {
  const first = atMs.findIndex((at) => at >= span.fromMs);
  const last = atMs.findLastIndex((at) => at <= span.toMs);
  return first < 0 || last < first ? undefined : { first, last };
}

/** The place nearest to an instant; undefined for no instant, or where there is nothing. */
export function placeNear(atMs: readonly number[], instantMs: number | null): number | undefined {
  if (instantMs === null || atMs.length === 0) return undefined;
  const found = atMs.findIndex((at) => at >= instantMs);
  const after = found < 0 ? atMs.length - 1 : found;
  const isBefore =
    instantMs - (atMs[after - 1] ?? Number.NEGATIVE_INFINITY) < (atMs[after] ?? 0) - instantMs;
  return isBefore ? after - 1 : after;
}

/** Least and most of what is known of a column between two places. */
export function extremesOf(
  column: Column,
  places: { first: number; last: number } | undefined,
): { low: number; high: number } | undefined {
  if (places === undefined) return undefined;
  let found: { low: number; high: number } | undefined;
  for (let place = places.first; place <= places.last; place += 1) {
    const value = column[place] ?? null;
    if (value === null) continue;
    found = {
      low: Math.min(found?.low ?? value, value),
      high: Math.max(found?.high ?? value, value),
    };
  }
  return found;
}
