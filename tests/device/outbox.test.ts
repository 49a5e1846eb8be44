// The outbox on disk: torn, damaged, full, bounded, and opened again.
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { filled, massesFrom, oneToOne, open, segmentsIn } from "./outbox-rig.ts";
import { bodyOf, recordingLog, temporaryFolder } from "./rig.ts";

it("numbers batches from 1 without gaps, also across a restart", async () => {
  const folder = temporaryFolder();
  const first = await filled(folder, 20);
  const { spool } = first;
  await first.close();
  const second = open(folder);
  expect(second.spool).toBe(spool);
  expect(second.untilMs()).toBe(bodyOf(20).untilMs);
  second.append(bodyOf(21));
  await second.idle();
  expect(massesFrom(second)).toEqual(oneToOne(1, 21));
  await second.close();
});

it("survives a last line torn at any byte: whole batches stay, and the next ones go on", async () => {
  const folder = temporaryFolder();
  await (await filled(folder, 3)).close();
  const [name = ""] = segmentsIn(folder);
  const whole = readFileSync(join(folder, name));
  const ends = [...whole.keys()].filter((at) => whole[at] === 0x0a).map((at) => at + 1);
  for (let bytes = ends[1]!; bytes <= whole.length; bytes += 1) {
    const torn = join(folder, `torn-${bytes}`);
    mkdirSync(torn);
    copyFileSync(join(folder, "spool.json"), join(torn, "spool.json"));
    writeFileSync(join(torn, name), whole.subarray(0, bytes));
    const outbox = open(torn);
    const survived = bytes === whole.length ? 3 : 2;
    expect(massesFrom(outbox), `cut after ${bytes} bytes`).toEqual(oneToOne(1, survived));
    for (let number = survived + 1; number <= 5; number += 1) outbox.append(bodyOf(number));
    await outbox.close();
    expect(massesFrom(open(torn)), `cut after ${bytes} bytes`).toEqual(oneToOne(1, 5));
  }
});

it("survives a file whose unsynced end is noughts from any byte on, as some disks leave it", async () => {
  const folder = temporaryFolder();
  await (await filled(folder, 3)).close();
  const [name = ""] = segmentsIn(folder);
  const whole = readFileSync(join(folder, name));
  const ends = [...whole.keys()].filter((at) => whole[at] === 0x0a).map((at) => at + 1);
  for (let from = ends[0]!; from < whole.length; from += 1) {
    const torn = join(folder, `noughts-${from}`);
    mkdirSync(torn);
    copyFileSync(join(folder, "spool.json"), join(torn, "spool.json"));
    writeFileSync(join(torn, name), Buffer.from(whole).fill(0, from));
    const outbox = open(torn);
    const survived = ends.filter((end) => end <= from).length;
    expect(massesFrom(outbox), `noughts from byte ${from}`).toEqual(oneToOne(1, survived));
    outbox.append(bodyOf(survived + 1));
    await outbox.close();
    expect(massesFrom(open(torn)), `noughts from byte ${from}`).toEqual(oneToOne(1, survived + 1));
  }
});

it("never gives the number of a damaged batch to another", async () => {
  const folder = temporaryFolder();
  await (await filled(folder, 4)).close();
  const [name = ""] = segmentsIn(folder);
  const lines = readFileSync(join(folder, name), "utf8").split("\n");
  lines[1] = lines[1]!.replace('"v":2', '"v":3');
  lines[3] = lines[3]!.replace('"v":4', '"v":5');
  writeFileSync(join(folder, name), lines.join("\n"));
  const outbox = open(folder);
  outbox.append(bodyOf(5));
  await outbox.idle();
  expect(massesFrom(outbox)).toEqual([
    [1, 1],
    [3, 3],
    [5, 5],
  ]);
  await outbox.close();
});

it("goes on after the number the server keeps, should the disk have lost more than it owned to", async () => {
  const folder = temporaryFolder();
  const outbox = await filled(folder, 3);
  outbox.noteKept({ store: "a", through: 10 });
  outbox.append(bodyOf(11));
  await outbox.close();
  const again = open(folder);
  expect(massesFrom(again)).toEqual([...oneToOne(1, 3), [11, 11]]);
  expect(again.last()).toBe(11);
  await again.close();
});

it("remembers what the server keeps, but not for another life of the outbox", async () => {
  const folder = temporaryFolder();
  const outbox = await filled(folder, 5);
  outbox.noteKept({ store: "a", through: 3 });
  outbox.noteKept({ store: "b", through: 4 });
  await outbox.close();
  const again = open(folder);
  expect(again.kept()).toMatchObject({ store: "b", through: 4 });
  await again.close();
  rmSync(join(folder, "spool.json"));
  const renewed = open(folder);
  expect(renewed.spool).not.toBe(outbox.spool);
  expect(renewed.kept()).toEqual({ store: undefined, through: 0 });
  await renewed.close();
});

it("refuses a folder that can't be made with one clear message", () => {
  const folder = temporaryFolder();
  writeFileSync(join(folder, "file"), "");
  expect(() => open(join(folder, "file", "outbox"))).toThrow(
    /^the outbox in .* requires a folder that can be used, got ENOTDIR/,
  );
});

const asRoot = process.getuid?.() === 0;
if (!asRoot) {
  process.stdout.write(
    "NOTICE: full and read-only disks are proved only when the tests run as root\n",
  );
}

/** A small disk of its own, of which tests fill up what is free. */
function smallDisk(): string {
  const folder = temporaryFolder();
  execFileSync("mount", ["-t", "tmpfs", "-o", "size=256k", "tmpfs", folder]);
  onTestFinished(() => void execFileSync("umount", ["-l", folder]));
  return folder;
}

it.runIf(asRoot)(
  "says once that the disk is full, keeps the newest, and goes on when there is room",
  async () => {
    const disk = smallDisk();
    const log = recordingLog();
    const made: number[] = [];
    const outbox = open(join(disk, "hill"), { log, memoryBatches: 40, retryMs: 10 });
    let count = 0;
    const more = () => outbox.append(bodyOf(++count));
    while (outbox.waiting() < 30) {
      more();
      await outbox.idle();
      made.push(outbox.last());
    }
    const onDisk = outbox.last();
    for (let extra = 0; extra < 50; extra += 1) more();
    expect(outbox.waiting()).toBe(40);
    expect(log.lines.map(({ level, event }) => [level, event])).toEqual([
      ["error", "outbox cannot write: what is on disk stays, the newest readings wait in memory"],
    ]);
    expect(log.lines[0]!.fields["problem"]).toMatch(/requires free space on its disk, got none/);
    expect(massesFrom(outbox)).toEqual(oneToOne(1, onDisk));

    const written = new Promise<void>((resolve) =>
      outbox.onMade(() => outbox.waiting() === 0 && resolve()),
    );
    execFileSync("mount", ["-o", "remount,size=2m", disk]);
    await written;
    const newest = Array.from({ length: 40 }, (_, at) => count - 39 + at);
    expect(massesFrom(outbox, onDisk + 1).map(([, massKg]) => massKg)).toEqual(newest);
    expect(massesFrom(outbox).map(([batch]) => batch)).toEqual(
      oneToOne(1, onDisk + 40).map(([batch]) => batch),
    );
    expect(log.lines.at(-1)).toMatchObject({
      event: "outbox writes again",
      fields: { lostBatches: count - onDisk - 40 },
    });
    await outbox.close();
    expect(massesFrom(open(join(disk, "hill")))).toHaveLength(onDisk + 40);
  },
);

it.runIf(asRoot)("keeps and still sends what is on a disk that has become read-only", async () => {
  const disk = smallDisk();
  const log = recordingLog();
  await (await filled(disk, 5)).close();
  execFileSync("mount", ["-o", "remount,ro", disk]);
  const outbox = open(disk, { log, retryMs: 10 });
  outbox.append(bodyOf(6));
  await outbox.idle();
  outbox.append(bodyOf(7));
  await outbox.idle();
  expect(log.lines.filter(({ level }) => level === "error")).toHaveLength(1);
  expect(log.lines[0]!.fields["problem"]).toMatch(/requires a folder it may write to, got EROFS/);
  expect(massesFrom(outbox)).toEqual(oneToOne(1, 5));
  const written = new Promise<void>((resolve) => outbox.onMade(resolve));
  execFileSync("mount", ["-o", "remount,rw", disk]);
  await written;
  expect(massesFrom(outbox)).toEqual(oneToOne(1, 7));
  await outbox.close();
});

it("cuts off what a failed write left behind, so that later lines are whole", async () => {
  const folder = temporaryFolder();
  await (await filled(folder, 3)).close();
  const path = join(folder, segmentsIn(folder)[0]!);
  writeFileSync(path, "half a line", { flag: "a" });
  const outbox = open(folder);
  outbox.append(bodyOf(4));
  await outbox.close();
  expect(readFileSync(path, "utf8")).not.toContain("half a line");
  expect(massesFrom(open(folder))).toEqual(oneToOne(1, 4));
});
