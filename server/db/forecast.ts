// The outlook for the coming hours, as a forecaster sent it.
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";

/** One hour of the outlook; null is what the forecaster left out. */
export type ForecastHour = { atMs: number; airC: number | null; cloudPercent: number | null };

export type ForecastStore = ReturnType<typeof createForecastStore>;

/** Hourly for two years; the oldest make room. */
const mostHours = 17_520;

type ForecastRow = { atMs: number; airCc: number | null; cloudPercent: number | null };

export function createForecastStore(sqlite: Sqlite) {
  const listSpan = sqlite.prepare(`
    SELECT at_ms AS atMs, air_cc AS airCc, cloud_percent AS cloudPercent
    FROM forecast_hour WHERE at_ms >= @fromMs AND at_ms < @toMs ORDER BY at_ms`);
  const upsert = sqlite.prepare(`
    INSERT INTO forecast_hour (at_ms, air_cc, cloud_percent) VALUES (@atMs, @airCc, @cloudPercent)
    ON CONFLICT (at_ms) DO UPDATE SET
      air_cc = coalesce(excluded.air_cc, air_cc),
      cloud_percent = coalesce(excluded.cloud_percent, cloud_percent)`);

  const prune = sqlite.prepare(`DELETE FROM forecast_hour WHERE at_ms <=
    (SELECT at_ms FROM forecast_hour ORDER BY at_ms DESC LIMIT 1 OFFSET ${mostHours})`);

  function put(hours: ForecastHour[]): void {
    for (const { atMs, airC, cloudPercent } of hours) {
      upsert.run({
        atMs,
        airCc: airC === null ? null : Math.round(airC * 100),
        cloudPercent: cloudPercent === null ? null : Math.round(cloudPercent),
      });
    }
    prune.run();
  }

  return {
    /** The newest word on each hour holds; an hour not spoken of keeps what it had. */
    put: transactional(sqlite, put),

    list({ fromMs, toMs }: { fromMs: number; toMs: number }): ForecastHour[] {
      return (listSpan.all({ fromMs, toMs }) as ForecastRow[]).map(({ airCc, ...hour }) => ({
        ...hour,
        airC: airCc === null ? null : airCc / 100,
      }));
    },
  };
}
