// Names backups by their time, and says which of them, and which stores set aside, have been outlived.
import { msPerDay } from "../../../shared/units.ts";

const pattern = /^brimful-(\d{4}-\d{2}-\d{2})T(\d{2})-(\d{2})-(\d{2})Z\.db$/;
const keepAllMs = 7 * msPerDay;
const keepWeeklyMs = 53 * 7 * msPerDay;
/** The first of January 1970 was a Thursday: weeks that begin on a Monday. */
const mondayMs = 4 * msPerDay;

const setAsidePattern = /^brimful\.db\.(before-\d+|replaced-[\dTZ-]+)(-wal|-shm)?$/;
const keepSetAsideMs = 180 * msPerDay;

/**
 * Of the files beside the store, those that may go: what an upgrade or a restore set aside more than
 * half a year ago, by when it was last written.
 */
export function outlivedSetAside(
  files: readonly { name: string; writtenMs: number }[],
  nowMs: number,
): string[] {
  return files
    .filter(
      ({ name, writtenMs }) => setAsidePattern.test(name) && nowMs - writtenMs > keepSetAsideMs,
    )
    .map(({ name }) => name);
}

/** Such as brimful-2026-03-14T15-00-00Z.db, in whole seconds of UTC. */
export function backupName(atMs: number): string {
  const text = new Date(atMs).toISOString().slice(0, 19);
  return `brimful-${text.replaceAll(":", "-")}Z.db`;
}

/** When a backup of this name was made; undefined for a file that is none. */
export function backupTimeMs(name: string): number | undefined {
  const [, day, hour, minute, second] = pattern.exec(name) ?? [];
  if (day === undefined) return undefined;
  const atMs = Date.parse(`${day}T${hour}:${minute}:${second}Z`);
  return Number.isNaN(atMs) ? undefined : atMs;
}

/**
 * Names that may go: all of the last seven days stay, then the newest of each week for a year. What
 * is no backup's name is never among them, nor is the newest backup, however old.
 */
export function outlivedBackups(names: readonly string[], nowMs: number): string[] {
  const backups = names
    .flatMap((name) => {
      const atMs = backupTimeMs(name);
      return atMs === undefined ? [] : [{ name, atMs }];
    })
    .sort((a, b) => b.atMs - a.atMs);
  const weeks = new Set<number>();
  return backups
    .filter(({ atMs }, index) => {
      const week = Math.floor((atMs - mondayMs) / (7 * msPerDay));
      const isNewestOfWeek = !weeks.has(week);
      weeks.add(week);
      const ageMs = nowMs - atMs;
      if (index === 0 || ageMs <= keepAllMs) return false;
      return !isNewestOfWeek || ageMs > keepWeeklyMs;
    })
    .map(({ name }) => name);
}
