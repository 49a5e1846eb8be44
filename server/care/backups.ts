// Keeps backups: one a day into a folder, the outlived ones removed, and what became of the last try.
import { mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, unlinkSync } from "node:fs";
import { join } from "node:path";
import type { Clock } from "../../shared/clock.ts";
import { msPerDay, msPerMinute } from "../../shared/units.ts";
import { backupTimeMs, outlivedBackups, outlivedSetAside } from "../domain/care/backup-names.ts";
import type { Log } from "../log.ts";
import type { BackUp } from "./backup-program.ts";

export type BackupsParts = {
  dataFolder: string;
  /** Where they are kept; made when it isn't there. */
  folder: string;
  clock: Clock;
  log: Log;
  backUp: BackUp;
};

/** A copy for somebody to take along, until `remove`. */
export type TakenCopy = { file: string; remove(): void };

export type BackupsState = {
  folder: string;
  count: number;
  lastAtMs: number | null;
  lastBytes: number | null;
  /** Why the last try failed; null when it went well or none was made. */
  problem: string | null;
};

export type Backups = {
  /** As of the last look, so that it can be asked every second. */
  state(): BackupsState;
  /** Looks into the folder: a backup may have been made by hand, or taken away. */
  lookAgain(): void;
  /** Makes one now, or waits for the one that is being made; `state` says what became of it. */
  backUpNow(): Promise<void>;
  /** The same, if the newest is a day old. */
  backUpIfDue(): Promise<void>;
  /** A copy that is not kept here. Throws AppError "storage". */
  takeAway(): Promise<TakenCopy>;
  start(): void;
  stop(): void;
};

/** A little less than a day, so that the hour stays the same from day to day. */
const dueAfterMs = msPerDay - 15 * msPerMinute;
const lookEveryMs = 10 * msPerMinute;
/** Starting up has better things to do. */
const firstLookMs = msPerMinute;

export function createBackups(parts: BackupsParts): Backups {
  const { folder, clock, log } = parts;
  let problem: string | null = null;
  // Looked up now and then only: a folder on a disk that hangs must not hold up every second.
  let known = stateOf(folder);
  let running: Promise<void> | undefined;
  let timer: NodeJS.Timeout | undefined;

  function lookAgain(): void {
    known = stateOf(folder);
  }

  async function make(): Promise<void> {
    try {
      mkdirSync(folder, { recursive: true, mode: 0o700 });
      const { file } = await parts.backUp({ dataFolder: parts.dataFolder, folder });
      removeOutlived(folder, clock.nowMs());
      removeSetAside(parts.dataFolder, clock.nowMs());
      problem = null;
      lookAgain();
      log.info("backed up", { file });
    } catch (error) {
      problem = error instanceof Error ? error.message : String(error);
      log.error("not backed up", { folder, problem });
    }
  }

  function backUpNow(): Promise<void> {
    running ??= make().finally(() => {
      running = undefined;
    });
    return running;
  }

  async function backUpIfDue(): Promise<void> {
    lookAgain();
    const { lastAtMs } = known;
    const ageMs = lastAtMs === null ? Number.POSITIVE_INFINITY : clock.nowMs() - lastAtMs;
    // One from the future is of a clock that was wrong: it is no reason to wait for it.
    if (ageMs >= dueAfterMs || ageMs < -dueAfterMs) await backUpNow();
  }

  function lookAfter(delayMs: number): void {
    timer = setTimeout(() => {
      void backUpIfDue();
      lookAfter(lookEveryMs);
    }, delayMs);
  }

  return {
    state: () => ({ folder, ...known, problem }),
    lookAgain,
    backUpNow,
    backUpIfDue,
    takeAway: () => takeAway(parts),
    start() {
      removeUntaken(parts.dataFolder);
      lookAfter(firstLookMs);
    },
    stop: () => clearTimeout(timer),
  };
}

const takenPrefix = "brimful-taken-";

async function takeAway({ dataFolder, backUp }: BackupsParts): Promise<TakenCopy> {
  const folder = mkdtempSync(join(dataFolder, takenPrefix));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  try {
    return { ...(await backUp({ dataFolder, folder })), remove };
  } catch (error) {
    remove();
    throw error;
  }
}

/** Copies that nobody took because the program was cut off. */
function removeUntaken(dataFolder: string): void {
  for (const name of namesIn(dataFolder).filter((each) => each.startsWith(takenPrefix))) {
    rmSync(join(dataFolder, name), { recursive: true, force: true });
  }
}

function stateOf(folder: string): Pick<BackupsState, "count" | "lastAtMs" | "lastBytes"> {
  const backups = namesIn(folder)
    .flatMap((name) => {
      const atMs = backupTimeMs(name);
      return atMs === undefined ? [] : [{ name, atMs }];
    })
    .sort((a, b) => b.atMs - a.atMs);
  const last = backups[0];
  const lastBytes = last === undefined ? undefined : statSync(join(folder, last.name)).size;
  return { count: backups.length, lastAtMs: last?.atMs ?? null, lastBytes: lastBytes ?? null };
}

/** The newest backup's path; undefined when there is none. */
export function newestBackup(folder: string): string | undefined {
  const names = namesIn(folder).filter((name) => backupTimeMs(name) !== undefined);
  const newest = names.sort().at(-1);
  return newest === undefined ? undefined : join(folder, newest);
}

function removeOutlived(folder: string, nowMs: number): void {
  for (const name of outlivedBackups(namesIn(folder), nowMs)) unlinkSync(join(folder, name));
}

/** Only after a backup that went well: until then they may be the only ones. */
function removeSetAside(dataFolder: string, nowMs: number): void {
  const files = namesIn(dataFolder).map((name) => ({
    name,
    writtenMs: statSync(join(dataFolder, name), { throwIfNoEntry: false })?.mtimeMs ?? nowMs,
  }));
  for (const name of outlivedSetAside(files, nowMs)) unlinkSync(join(dataFolder, name));
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    // Not there yet, or not to be read: then there is no backup to speak of.
    return [];
  }
}
