// The air that outlooks told, and what was measured when its time had come.
import type { AirTold, ClosedAir } from "../domain/brim/outlook-errors.ts";
import type { Sqlite } from "./sqlite.ts";

export type AirToldStore = ReturnType<typeof createAirToldStore>;

export function createAirToldStore(sqlite: Sqlite) {
  const insert = sqlite.prepare(`
    INSERT OR IGNORE INTO air_told (at_ms, lead_h, bucket_id, told_cc)
    VALUES (@atMs, @leadH, @bucketId, @toldCc)`);
  // The mean of the hour about it.
  const close = sqlite.prepare(`
    UPDATE air_told SET closed = 1, came_cc = (
      SELECT CAST(round(avg(air_cc)) AS INTEGER) FROM ten_minute
       WHERE ten_minute.bucket_id = air_told.bucket_id
         AND ten_minute.at_ms > air_told.at_ms + air_told.lead_h * 3600000 - 1800000
         AND ten_minute.at_ms <= air_told.at_ms + air_told.lead_h * 3600000 + 1800000)
     WHERE closed = 0 AND at_ms <= @untilMs - lead_h * 3600000 - 1800000`);
  const list = sqlite.prepare(`
    SELECT at_ms AS atMs, lead_h AS leadH, told_cc / 100.0 AS toldC, came_cc / 100.0 AS cameC
      FROM air_told WHERE came_cc IS NOT NULL AND at_ms > ? ORDER BY at_ms, lead_h`);
  const newest = sqlite.prepare("SELECT max(at_ms) FROM air_told").pluck();
  return {
    newestMs: () => newest.get() as number | null,
    put({ leadH, toldC, ...at }: AirTold & { bucketId: string; atMs: number }): void {
      insert.run({ ...at, leadH, toldCc: Math.round(toldC * 100) });
    },
    /** Books what was measured of all whose time was over by then. */
    closeUntil(untilMs: number): void {
      close.run({ untilMs });
    },
    listClosed: (sinceMs: number) => list.all(sinceMs) as ClosedAir[],
  };
}
