// What was forecast for each bucket, one row an hour, and what came of it a day later.
import type { ForecastOutcome, WeighedSlot } from "../domain/record/outcome.ts";
import type { Said } from "../domain/record/said.ts";
import type { Sqlite } from "./sqlite.ts";

/** At a full hour. */
export type ForecastSaid = Said & { bucketId: string; atMs: number };

export type OpenForecast = { atMs: number; roomG: number };
export type ReliabilityRow = { bin: number; count: number; told: number; came: number };

/** Edges of the chances told, in hundredths. */
export const chanceEdges = [0, 5, 20, 40, 60, 80, 100];

export type ForecastSaidStore = ReturnType<typeof createForecastSaidStore>;

export function createForecastSaidStore(sqlite: Sqlite) {
  return { ...writer(sqlite), ...reader(sqlite) };
}

function writer(sqlite: Sqlite) {
  const put = sqlite.prepare(`INSERT OR IGNORE INTO forecast_said
    (bucket_id, at_ms, over_6h, over_12h, over_24h, low_12h_dg, mid_12h_dg, high_12h_dg, room_dg)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`);
  const openUntil = sqlite.prepare(`SELECT at_ms AS atMs, room_dg / 10.0 AS roomG
    FROM forecast_said WHERE bucket_id = ? AND closed = 0 AND at_ms <= ? ORDER BY at_ms`);
  const slots = sqlite.prepare(`SELECT at_ms AS atMs, inflow_dg / 10.0 AS inflowG, flags & 1 AS full
    FROM ten_minute WHERE bucket_id = ? AND at_ms > ? AND at_ms <= ? ORDER BY at_ms`);
  const close = sqlite.prepare(`UPDATE forecast_said SET closed = 1, came_12h_dg = @came,
    over_ms = @overMs, weighed = @weighed WHERE bucket_id = @bucketId AND at_ms = @atMs`);
  const forget = sqlite.prepare("DELETE FROM forecast_said WHERE bucket_id = ? AND at_ms < ?");
  return {
    /** The first word of an hour stands. */
    insert(said: ForecastSaid): void {
      put.run(
        said.bucketId,
        said.atMs,
        ...[said.over6h, said.over12h, said.over24h].map((share) => Math.round(share * 1e6)),
        ...[said.low12G, said.mid12G, said.high12G, said.roomG].map((g) => Math.round(g * 10)),
      );
    },
    /** Those not closed up to an instant, oldest first. */
    listOpen: (bucketId: string, untilMs: number) =>
      openUntil.all(bucketId, untilMs) as OpenForecast[],
    listWeighed(bucketId: string, afterMs: number, untilMs: number): WeighedSlot[] {
      type Row = Omit<WeighedSlot, "full"> & { full: number };
      const rows = slots.all(bucketId, afterMs, untilMs) as Row[];
      return rows.map((row) => ({ ...row, full: row.full === 1 }));
    },
    close(bucketId: string, atMs: number, outcome: ForecastOutcome): void {
      close.run({
        bucketId,
        atMs,
        came: Math.round(outcome.came12G * 10),
        overMs: outcome.overMs,
        weighed: outcome.weighed ? 1 : 0,
      });
    },
    forgetBefore(bucketId: string, beforeMs: number): void {
      forget.run(bucketId, beforeMs);
    },
  };
}

const told = "closed = 1 AND weighed = 1";

function reader(sqlite: Sqlite) {
  const since = sqlite.prepare("SELECT min(at_ms) FROM forecast_said").pluck();
  const outcome = sqlite.prepare(`SELECT closed, weighed, over_ms AS overMs,
      over_24h / 1e6 AS chance FROM forecast_said
    WHERE bucket_id = ? AND at_ms <= ? AND at_ms > ? ORDER BY at_ms DESC LIMIT 1`);
  const inflow = sqlite.prepare(`SELECT count(*) AS count,
      coalesce(sum(came_12h_dg BETWEEN low_12h_dg - @slackDg AND high_12h_dg + @slackDg), 0) AS within
    FROM forecast_said WHERE ${told} AND (came_12h_dg > @activeDg OR mid_12h_dg > @activeDg)`);
  const reliabilities = new Map(
    [12, 24].map((aheadH) => [aheadH, sqlite.prepare(reliabilitySql(aheadH))] as const),
  );
  return {
    sinceMs: () => since.get() as number | null,
    /** What came of the forecast of a bucket last made before an instant, within two hours. */
    outcomeAt(bucketId: string, atMs: number) {
      type Row = { closed: number; weighed: number | null; overMs: number | null; chance: number };
      return outcome.get(bucketId, atMs, atMs - 7_200_000) as Row | undefined;
    },
    /** Of forecasts told of more than a little sap, how many held. */
    inflowFigures: (bounds: { activeG: number; slackG: number }) =>
      inflow.get({ activeDg: bounds.activeG * 10, slackDg: bounds.slackG * 10 }) as {
        count: number;
        within: number;
      },
    /** By the chance told for 12 or 24 h ahead; bins without a forecast are left out. */
    reliability: (aheadH: 12 | 24) => (reliabilities.get(aheadH)?.all() ?? []) as ReliabilityRow[],
  };
}

function reliabilitySql(aheadH: number): string {
  const chance = `over_${aheadH}h`;
  const inner = chanceEdges.slice(1, -1);
  const bin = inner.map((edge) => `(${chance} >= ${edge * 10_000})`).join(" + ");
  return `SELECT ${bin} AS bin, count(*) AS count, avg(${chance}) / 1e6 AS told,
      coalesce(sum(over_ms <= at_ms + ${aheadH * 3_600_000}), 0) AS came
    FROM forecast_said WHERE ${told} GROUP BY bin ORDER BY bin`;
}
