// What forecasts told to run in, and what came: the past that their calibration is learnt from.
import type { ClosedForecast, ToldInflow } from "../domain/brim/calibration.ts";
import type { Sqlite } from "./sqlite.ts";

export type ToldForecast = ToldInflow & { bucketId: string; atMs: number; hasOutlook: boolean };

export type ToldStore = ReturnType<typeof createToldStore>;

type Row = Omit<ClosedForecast, "toldG" | "ranOver"> & { toldG: string; ranOver: number };

export function createToldStore(sqlite: Sqlite) {
  const insert = sqlite.prepare(`
    INSERT OR IGNORE INTO inflow_told (bucket_id, at_ms, lead_h, has_outlook, told_g, capacity_g)
    VALUES (@bucketId, @atMs, @leadH, @hasOutlook, @toldG, @capacityG)`);
  // All its slots have to be there; what ran over at the rim nobody weighed.
  const close = sqlite.prepare(`
    UPDATE inflow_told SET closed = 1, (came_g, ran_over) = (
      SELECT CASE WHEN count(*) >= 6 * lead_h
                  THEN CAST(round(sum(inflow_dg) / 10.0) AS INTEGER) END,
             coalesce(max(flags & 1), 0)
        FROM ten_minute
       WHERE ten_minute.bucket_id = inflow_told.bucket_id
         AND ten_minute.at_ms > inflow_told.at_ms
         AND ten_minute.at_ms <= inflow_told.at_ms + inflow_told.lead_h * 3600000)
     WHERE closed = 0 AND at_ms <= @untilMs - lead_h * 3600000`);
  const list = sqlite.prepare(`
    SELECT at_ms AS atMs, lead_h AS leadH, told_g AS toldG, came_g AS cameG, ran_over AS ranOver,
           capacity_g AS capacityG
      FROM inflow_told
     WHERE came_g IS NOT NULL AND has_outlook = @hasOutlook AND at_ms > @sinceMs
     ORDER BY at_ms, bucket_id, lead_h`);
  const newest = sqlite.prepare("SELECT max(at_ms) FROM inflow_told WHERE bucket_id = ?").pluck();
  return {
    newestMs: (bucketId: string) => newest.get(bucketId) as number | null,
    put(told: ToldForecast): void {
      insert.run({
        ...told,
        hasOutlook: Number(told.hasOutlook),
        toldG: JSON.stringify(told.toldG),
        capacityG: Math.round(told.capacityG),
      });
    },
    /** Books what came of all whose time was over by then. */
    closeUntil(untilMs: number): void {
      close.run({ untilMs });
    },
    listClosed(query: { hasOutlook: boolean; sinceMs: number }): ClosedForecast[] {
      const rows = list.all({ ...query, hasOutlook: Number(query.hasOutlook) }) as Row[];
      return rows.map(({ toldG, ranOver, ...row }) => ({
        ...row,
        toldG: JSON.parse(toldG) as number[],
        ranOver: ranOver === 1,
      }));
    },
  };
}
