// Seasons: which are closed, and what of the closing jobs is done.
import type { Sqlite } from "./sqlite.ts";

export type SeasonRow = { year: number; closedMs: number | null; note: string | null };
export type DoneJob = { job: string; doneMs: number };

export type SeasonStore = ReturnType<typeof createSeasonStore>;

export function createSeasonStore(sqlite: Sqlite) {
  const listAll = sqlite.prepare(
    "SELECT year, closed_ms AS closedMs, note FROM season ORDER BY year",
  );
  const findOne = sqlite.prepare(
    "SELECT year, closed_ms AS closedMs, note FROM season WHERE year = ?",
  );
  const put = sqlite.prepare(
    `INSERT INTO season (year, closed_ms, note) VALUES (@year, @closedMs, @note)
     ON CONFLICT (year) DO UPDATE SET closed_ms = excluded.closed_ms, note = excluded.note`,
  );
  const jobs = sqlite.prepare(
    "SELECT job, done_ms AS doneMs FROM season_job WHERE year = ? ORDER BY job",
  );
  const tick = sqlite.prepare(
    "INSERT INTO season_job (year, job, done_ms) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
  );
  const untick = sqlite.prepare("DELETE FROM season_job WHERE year = ? AND job = ?");
  // The first and last thing that was ever logged or weighed. A backlog may be older than the first word heard of its
  // cell; a day stands here by its noon, which lies in its year wherever the yard is.
  const span = sqlite.prepare(`SELECT min(at_ms) AS fromMs, max(at_ms) AS toMs FROM (
      SELECT min(first_heard_ms) AS at_ms FROM cell
      UNION ALL SELECT 1000 * unixepoch(min(day), '12 hours') FROM day
      UNION ALL SELECT 1000 * unixepoch(max(day), '12 hours') FROM day
      UNION ALL SELECT min(at_ms) FROM gathering UNION ALL SELECT max(at_ms) FROM gathering
      UNION ALL SELECT min(started_ms) FROM boil UNION ALL SELECT max(started_ms) FROM boil
      UNION ALL SELECT min(bottled_ms) FROM batch UNION ALL SELECT max(bottled_ms) FROM batch)`);
  return {
    list: (): SeasonRow[] => listAll.all() as SeasonRow[],
    /** One that nobody touched is open. */
    find: (year: number): SeasonRow =>
      (findOne.get(year) as SeasonRow | undefined) ?? { year, closedMs: null, note: null },
    put(season: SeasonRow): void {
      put.run(season);
    },
    doneJobs: (year: number): DoneJob[] => jobs.all(year) as DoneJob[],
    setJob(year: number, job: string, doneMs: number | null): void {
      if (doneMs === null) untick.run(year, job);
      else tick.run(year, job, doneMs);
    },
    span: () => span.get() as { fromMs: number | null; toMs: number | null },
  };
}
