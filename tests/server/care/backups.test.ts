// Tests the daily backup: due once a day, thinned, told when it fails, made by the command itself.
import { existsSync, mkdtempSync, readdirSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { createBackUp } from "../../../server/care/backup-program.ts";
import { createBackups, newestBackup } from "../../../server/care/backups.ts";
import { createStores } from "../../../server/db/stores.ts";
import { backupName } from "../../../server/domain/care/backup-names.ts";
import { msPerDay, msPerHour } from "../../../shared/units.ts";
import { createTestClock, createTestLog, startMs } from "../../helpers/store-rig.ts";

const command = new URL("../../../server/commands/backup.ts", import.meta.url).pathname;

let dataFolder: string;
let folder: string;
beforeEach(() => {
  dataFolder = mkdtempSync(join(tmpdir(), "brimful-backups-"));
  folder = join(dataFolder, "backups");
});
afterEach(() => rmSync(dataFolder, { recursive: true }));

function open() {
  const clock = createTestClock();
  const log = createTestLog();
  const trial: { fails: string | undefined; made: number } = { fails: undefined, made: 0 };
  const backups = createBackups({
    dataFolder,
    folder,
    clock,
    log,
    backUp: () => {
      if (trial.fails !== undefined) return Promise.reject(new Error(trial.fails));
      trial.made += 1;
      const file = join(folder, backupName(clock.nowMs()));
      writeFileSync(file, "a copy");
      return Promise.resolve({ file });
    },
  });
  return { clock, log, trial, backups };
}

it("is due when there is none, then once a day", async () => {
  const { clock, trial, backups } = open();
  expect(backups.state()).toMatchObject({ count: 0, lastAtMs: null, lastBytes: null });
  await backups.backUpIfDue();
  expect(backups.state()).toEqual({
    folder,
    count: 1,
    lastAtMs: startMs,
    lastBytes: 6,
    problem: null,
  });
  clock.advance(20 * msPerHour);
  await backups.backUpIfDue();
  expect(trial.made).toBe(1);
  clock.advance(4 * msPerHour);
  await Promise.all([backups.backUpIfDue(), backups.backUpIfDue()]);
  expect(trial.made).toBe(2);
});

it("sees one that was made by hand when it looks again", async () => {
  const { backups } = open();
  await backups.backUpIfDue();
  writeFileSync(join(folder, backupName(startMs + msPerHour)), "by hand");
  expect(backups.state().count).toBe(1);
  backups.lookAgain();
  expect(backups.state()).toMatchObject({ count: 2, lastAtMs: startMs + msPerHour });
});

it("a year of days leaves a week of days and a year of weeks, and nothing else is touched", async () => {
  const { clock, backups } = open();
  await backups.backUpIfDue();
  writeFileSync(join(folder, "notes.txt"), "mine");
  for (let day = 0; day < 400; day++) {
    clock.advance(msPerDay);
    await backups.backUpIfDue();
  }
  expect(backups.state().count).toBe(60);
  expect(existsSync(join(folder, "notes.txt"))).toBe(true);
  expect(newestBackup(folder)).toBe(join(folder, backupName(clock.nowMs())));
});

it("a failure is told and takes nothing away; the next look tries again", async () => {
  const { clock, log, trial, backups } = open();
  await backups.backUpNow();
  trial.fails = "no room";
  clock.advance(msPerDay);
  await backups.backUpIfDue();
  expect(backups.state()).toMatchObject({ count: 1, lastAtMs: startMs, problem: "no room" });
  expect(log.lines.at(-1)).toMatchObject({ level: "error", event: "not backed up" });
  trial.fails = undefined;
  await backups.backUpIfDue();
  expect(backups.state()).toMatchObject({ count: 2, problem: null });
});

it("the command copies a store that is open and written to, and says what hinders it", async () => {
  const stores = createStores(dataFolder);
  stores.boards.heard("hill", startMs);
  const backUp = createBackUp(["--import", "tsx", command]);
  const { file } = await backUp({ dataFolder, folder: join(dataFolder, "copies") });
  expect(readdirSync(join(dataFolder, "copies")).map((name) => `copies/${name}`)).toEqual([
    file.slice(dataFolder.length + 1),
  ]);
  stores.close();
  const nowhere = backUp({ dataFolder: join(dataFolder, "none"), folder });
  await expect(nowhere).rejects.toThrow(/^copying requires a store, got none at \S+brimful\.db$/);
});

it("what an upgrade set aside long ago goes after a backup that went well, and not before", async () => {
  const { clock, trial, backups } = open();
  const aside = join(dataFolder, "brimful.db.before-3");
  writeFileSync(aside, "as it was");
  const longAgo = (clock.nowMs() - 200 * msPerDay) / 1000;
  utimesSync(aside, longAgo, longAgo);
  trial.fails = "no room";
  await backups.backUpNow();
  expect(existsSync(aside)).toBe(true);
  trial.fails = undefined;
  await backups.backUpNow();
  expect(existsSync(aside)).toBe(false);
});
