// Tests that what was acknowledged is on the disk, whatever happens to the program or the disk.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, test } from "vitest";
import { openStore } from "../../../server/db/open.ts";
import { connectTo } from "../../helpers/mqtt-rig.ts";
import { spawnServer } from "../../helpers/mqtt-server.ts";
import { mountSmallDisk, type SmallDisk, whyNoDisk } from "../../helpers/store-disk.ts";
import { openRig, packText, type Rig, startMs } from "../../helpers/store-rig.ts";

const undoing: (() => unknown)[] = [];
afterEach(async () => {
  for (const undo of undoing.splice(0).reverse()) await undo();
});

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "brimful-durable-"));
  undoing.push(() => rmSync(folder, { recursive: true }));
  return folder;
}

const from = (payload: string) => ({ board: "hill", payload, source: "test" });
const batchText = (batch: number) =>
  packText({ batch, massesKg: [1], atMs: startMs - batch * 30_000 });

function storedTimes(rig: Rig): Set<number> {
  const cell = rig.boards.findCell("hill", "cell-1");
  if (cell === undefined) return new Set();
  const span = { cellKey: cell.key, fromMs: 0, untilMs: 8e15 };
  return new Set(rig.readings.listReadings(span).map(({ atMs }) => atMs));
}

/** Publishes batches in a window until `enough` are acknowledged, then kills; returns the acknowledged. */
async function publishUntilKilled(folder: string, enough: number): Promise<Set<number>> {
  const server = spawnServer(folder);
  undoing.push(() => server.kill("SIGKILL"));
  const client = await connectTo(await server.mqttUrl());
  client.on("error", () => undefined);
  const acked = new Set<number>();
  const closed = new Promise<void>((resolve) => client.once("close", () => resolve()));
  let next = 1;
  const send = () => {
    const batch = next++;
    client.publish("brimful/1/hill/readings", batchText(batch), { qos: 1 }, (error) => {
      if (error) return;
      acked.add(batch);
      if (acked.size === enough) void server.kill("SIGKILL");
      send();
    });
  };
  for (let window = 0; window < 40; window++) send();
  await closed;
  await server.ended;
  await client.endAsync(true);
  return acked;
}

test("killed between acknowledgements, nothing that was acknowledged is missing and nothing is doubled", async () => {
  const folder = newFolder();
  const acked = await publishUntilKilled(folder, 400);
  expect(acked.size).toBeGreaterThanOrEqual(400);
  const rig = openRig(folder);
  const stored = storedTimes(rig);
  for (const batch of acked) expect(stored).toContain(startMs - batch * 30_000);
  const through = rig.spools.through("hill", "a1");
  expect(through).toBeGreaterThanOrEqual(400);
  rig.clock.advance(1000);
  for (let batch = 1; batch <= through + 10; batch++)
    await rig.intake.accept(from(batchText(batch)));
  expect(storedTimes(rig).size).toBe(through + 10);
  rig.sqlite.close();
}, 60_000);

function smallDisk(sizeMb: number): SmallDisk | undefined {
  const disk = mountSmallDisk(sizeMb);
  if (disk !== undefined) undoing.push(() => disk.remove());
  return disk;
}

test("a full disk acknowledges nothing, keeps what it had and goes on when there is room", async (context) => {
  const disk = smallDisk(8);
  if (disk === undefined) return context.skip(whyNoDisk);
  const rig = openRig(disk.folder);
  undoing.push(() => rig.sqlite.close());
  await rig.intake.accept(from(batchText(1)));
  disk.fill();
  let batch = 2;
  let failure: unknown;
  // The log file of the database has room of its own for a while.
  while (failure === undefined && batch < 5000) {
    failure = await rig.intake.accept(from(batchText(batch))).then(
      () => undefined,
      (error: unknown) => error,
    );
    batch += failure === undefined ? 1 : 0;
  }
  expect(failure).toMatchObject({ code: "storage-full" });
  expect((failure as Error).message).toContain("database requires free disk space");
  expect(rig.kept.at(-1)?.kept.through).toBe(batch - 1);
  expect(storedTimes(rig).size).toBe(batch - 1);
  disk.free();
  expect(await rig.intake.accept(from(batchText(batch)))).toMatchObject({ stored: 1 });
  expect(rig.kept.at(-1)?.kept.through).toBe(batch);
  expect(rig.log.lines.filter(({ level }) => level === "error")).toHaveLength(1);
});

test("a read-only disk is told in one line, by the store and by the program", async (context) => {
  const disk = smallDisk(8);
  if (disk === undefined) return context.skip(whyNoDisk);
  openRig(disk.folder).sqlite.close();
  disk.setReadOnly();
  expect(() => openStore(disk.folder)).toThrow(
    expect.objectContaining({ code: "storage-read-only" }),
  );
  const { code, errors } = await spawnServer(disk.folder).ended;
  expect(code).toBe(1);
  expect(errors.trim()).toMatch(/^database requires write access, got none at \S+brimful\.db$/);
  const below = await spawnServer(join(disk.folder, "new")).ended;
  expect(below.errors.trim()).toMatch(/^data folder requires write access, got \S+new$/);
}, 40_000);

test("a data folder that belongs to another user is told in one line", async (context) => {
  const isRoot = process.getuid?.() === 0;
  // Root may write anywhere, so that the child is nobody; others are no root already.
  const user = isRoot ? { uid: 65_534 } : {};
  const folder = isRoot ? join(newFolder(), "data") : "/usr/brimful-data";
  const canRead = spawnSync("ls", [import.meta.dirname], { ...user }).status === 0;
  if (!canRead) return context.skip("not proved here: another user may not read these sources");
  const { code, errors } = await spawnServer(folder, user).ended;
  expect(code).toBe(1);
  expect(errors.trim()).toBe(`data folder requires write access, got ${folder}`);
}, 40_000);
