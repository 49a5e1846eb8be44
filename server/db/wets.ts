// What of a bucket's inflow was rain or snow, half hour by half hour, and which half hours have to be looked at again.
import { halfHourMs, type WetKind } from "../domain/rain/wet.ts";
import type { Sqlite } from "./sqlite.ts";

/** atMs is the end of the half hour. */
export type WetRow = { bucketId: string; atMs: number; kind: WetKind; massG: number };

/** The end of the half hour in which a ten minutes of that end lies, in SQL. */
export const halfHourOf = (atMs: string) =>
  `(CAST(${atMs} AS INTEGER) + ${halfHourMs - 1}) / ${halfHourMs} * ${halfHourMs}`;

export type WetStore = ReturnType<typeof createWetStore>;

export function createWetStore(sqlite: Sqlite) {
  const due = sqlite.prepare("SELECT at_ms FROM wet_due ORDER BY at_ms").pluck();
  const done = sqlite.prepare("DELETE FROM wet_due");
  const again = sqlite.prepare(
    `INSERT OR IGNORE INTO wet_due
       SELECT DISTINCT ${halfHourOf("at_ms")} FROM ten_minute WHERE at_ms > ?`,
  );
  const list = sqlite.prepare(
    `SELECT bucket_id AS bucketId, at_ms AS atMs, kind, mass_dg / 10.0 AS massG
       FROM wet WHERE at_ms = ? ORDER BY bucket_id`,
  );
  const forget = sqlite.prepare("DELETE FROM wet WHERE at_ms = ?");
  const put = sqlite.prepare(
    "INSERT INTO wet (at_ms, bucket_id, kind, mass_dg) VALUES (@atMs, @bucketId, @kind, @massDg)",
  );
  const latest = sqlite.prepare(
    `SELECT bucket_id AS bucketId, at_ms AS atMs, kind, mass_dg / 10.0 AS massG
       FROM wet WHERE bucket_id = ? ORDER BY at_ms DESC LIMIT 1`,
  );
  const rain = sqlite
    .prepare(
      `SELECT coalesce(sum(mass_dg), 0) / 10.0 FROM wet
        WHERE bucket_id = ? AND kind = 'rain' AND at_ms > ? AND at_ms <= ?`,
    )
    .pluck();
  const rainSinceEmptied = sqlite
    .prepare(
      `SELECT coalesce(sum(mass_dg), 0) / 10.0 FROM wet
        WHERE bucket_id = @bucketId AND kind = 'rain' AND at_ms > coalesce(
          (SELECT max(until_ms) FROM event WHERE bucket_id = @bucketId AND kind = 'emptied'), 0)`,
    )
    .pluck();
  const sums = sqlite.prepare(
    `SELECT bucket_id AS bucketId, sum(inflow_dg + rain_dg) / 10.0 AS inflowG
       FROM day WHERE day >= ? AND day < ? GROUP BY bucket_id`,
  );
  return {
    /** Ends of the half hours whose slots changed, in order of time. */
    due: () => due.all() as number[],
    noneDue: () => void done.run(),
    /** All later half hours have to be looked at again. */
    dueAfter: (afterMs: number) => void again.run(afterMs),
    at: (atMs: number) => list.all(atMs) as WetRow[],
    replace(atMs: number, rows: readonly WetRow[]): void {
      forget.run(atMs);
      for (const { bucketId, kind, massG } of rows) {
        put.run({ atMs, bucketId, kind, massDg: Math.round(massG * 10) });
      }
    },
    latest: (bucketId: string) => latest.get(bucketId) as WetRow | undefined,
    rainG: (bucketId: string, afterMs: number, untilMs: number) =>
      rain.get(bucketId, afterMs, untilMs) as number,
    rainSinceEmptiedG: (bucketId: string) => rainSinceEmptied.get({ bucketId }) as number,
    /** All that came into each bucket on the days from one up to another, sap and rain. */
    inflowOfDays: (fromDay: string, untilDay: string) =>
      new Map(
        (sums.all(fromDay, untilDay) as { bucketId: string; inflowG: number }[]).map(
          ({ bucketId, inflowG }) => [bucketId, inflowG] as const,
        ),
      ),
  };
}
