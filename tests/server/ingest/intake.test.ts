// Tests that packs become committed rows, once each, and that nothing bad spoils what is good.
import { expect, test } from "vitest";
import { most } from "../../../server/db/boards.ts";
import { mostAhead } from "../../../server/db/spools.ts";
import { createIntake } from "../../../server/ingest/intake.ts";
import { openRig, packText, startMs } from "../../helpers/store-rig.ts";

const from = (payload: string, board = "hill") => ({ board, payload, source: "test" });
const everything = { fromMs: 0, untilMs: 8e15 };

test("a pack becomes rows, and only then the promise, the kept note and the watcher know", async () => {
  const rig = openRig();
  const accepting = rig.intake.accept(from(packText({ batch: 1, massesKg: [7.3, 7.4] })));
  expect(rig.committed).toEqual([]);
  expect(rig.kept).toEqual([]);
  expect(await accepting).toMatchObject({ stored: 2, refusals: [], problem: undefined });
  const cell = rig.boards.findCell("hill", "cell-1")!;
  expect(rig.readings.listReadings({ cellKey: cell.key, ...everything })).toEqual([
    { atMs: startMs, massG: 7300, spreadG: null, counts: null },
    { atMs: startMs + 1000, massG: 7400, spreadG: null, counts: null },
  ]);
  expect(rig.committed).toEqual([
    [{ board: "hill", cells: [{ cellKey: cell.key, fromMs: startMs, untilMs: startMs + 1000 }] }],
  ]);
  expect(rig.kept).toEqual([
    { board: "hill", kept: { v: 1, store: rig.storeId, spool: "a1", through: 1 } },
  ]);
});

test("all that waits in one turn is one transaction, with one kept note for a spool", async () => {
  const rig = openRig();
  const packs = Array.from({ length: 50 }, (_, index) =>
    packText({ batch: index + 1, atMs: startMs + index * 30_000 }),
  );
  await Promise.all(packs.map((text) => rig.intake.accept(from(text))));
  expect(rig.committed).toHaveLength(1);
  expect(rig.kept).toMatchObject([{ board: "hill", kept: { through: 50 } }]);
});

test("a bad pack spoils no other of the same transaction", async () => {
  const rig = openRig();
  const results = await Promise.all([
    rig.intake.accept(from(packText({ batch: 1 }))),
    rig.intake.accept(from("not json")),
    rig.intake.accept(from(packText({ batch: 2, atMs: startMs + 30_000 }))),
  ]);
  expect(results.map(({ stored }) => stored)).toEqual([1, 0, 1]);
  expect(results[1]?.problem).toContain("payload requires JSON");
  expect(rig.rejected.listRejected(10)).toMatchObject([{ source: "test", sample: "not json" }]);
  expect(rig.intake.counts()).toMatchObject({ packs: 3, readings: 2, refusedPacks: 1 });
});

test("a write that throws inside the transaction spoils only itself", async () => {
  const rig = openRig();
  const breaking = {
    ...rig,
    readings: {
      ...rig.readings,
      insertReading: (reading: Parameters<typeof rig.readings.insertReading>[0]) =>
        rig.readings.insertReading(reading.massG === 6666 ? { ...reading, massG: 2e6 } : reading),
    },
  };
  const intake = createIntake({
    ...breaking,
    onCommitted: () => undefined,
    onPresence: () => undefined,
    publishKept: () => undefined,
  });
  const [good, bad, alsoGood] = await Promise.all([
    intake.accept(from(packText({ batch: 1, cell: "new-1" }))),
    intake.accept(from(packText({ batch: 2, massesKg: [1, 6.666], atMs: startMs + 10_000 }))),
    intake.accept(from(packText({ batch: 3, cell: "new-2" }))),
  ]);
  expect(good).toMatchObject({ stored: 1 });
  expect(bad.problem).toContain("pack could not be stored");
  expect(alsoGood).toMatchObject({ stored: 1 });
  expect(rig.spools.through("hill", "a1")).toBe(3);
  const key = rig.boards.findCell("hill", "new-1")!.key;
  expect(rig.readings.listReadings({ cellKey: key, ...everything })).toHaveLength(1);
  expect(rig.boards.findCell("hill", "cell-1")).toBeUndefined();
});

test("what is sent twice is stored once, also when it states its age anew", async () => {
  const rig = openRig();
  const relative = JSON.stringify([
    { bn: "hill/", n: "batch", u: "count", v: 1 },
    { n: "spool", vs: "a1" },
    { n: "cell-1/mass", u: "kg", t: -60, v: 5 },
  ]);
  await rig.intake.accept(from(relative));
  rig.clock.advance(5000);
  expect(await rig.intake.accept(from(relative))).toMatchObject({ stored: 0, duplicates: 1 });
  const withoutBatch = packText({ massesKg: [1, 2] });
  expect(await rig.intake.accept(from(withoutBatch))).toMatchObject({ stored: 2 });
  expect(await rig.intake.accept(from(withoutBatch))).toMatchObject({ stored: 0, duplicates: 2 });
  expect(rig.committed).toHaveLength(2);
  expect(rig.kept.map(({ kept }) => kept.through)).toEqual([1, 1]);
});

test("through waits at a gap and jumps it when the gap is filled or given up", async () => {
  const rig = openRig();
  const send = (batch: number, skipped?: number) =>
    rig.intake.accept(
      from(
        packText({ batch, ...(skipped === undefined ? {} : { skipped }), atMs: startMs + batch }),
      ),
    );
  await send(1);
  await send(3);
  await send(4);
  expect(rig.kept.at(-1)?.kept.through).toBe(1);
  await send(2);
  expect(rig.kept.at(-1)?.kept.through).toBe(4);
  await send(10, 5);
  expect(rig.kept.at(-1)?.kept.through).toBe(10);
  await send(20, 3);
  expect(rig.kept.at(-1)?.kept.through).toBe(10);
  await send(16, 5);
  expect(rig.kept.at(-1)?.kept.through).toBe(20);
});

test("a pack refused as a whole is settled when its number can be read, and not otherwise", async () => {
  const rig = openRig();
  const numbers = [
    { bn: "hill/", n: "batch", u: "count", v: 1 },
    { n: "spool", vs: "a1" },
  ];
  const mustUnderstand = JSON.stringify([...numbers, { n: "x", v: 1, foo_: 2 }]);
  expect((await rig.intake.accept(from(mustUnderstand))).problem).toContain('"foo_"');
  expect(rig.kept.at(-1)?.kept.through).toBe(1);
  const foreign = packText({ board: "dale", batch: 2 });
  expect((await rig.intake.accept(from(foreign))).refusals.length).toBeGreaterThan(0);
  expect(rig.kept.at(-1)?.kept.through).toBe(2);
  await rig.intake.accept(from(packText({ batch: 3 }).slice(0, -3)));
  expect(rig.kept).toHaveLength(2);
  expect(rig.spools.through("hill", "a1")).toBe(2);
});

test("a payload of a megabyte is refused with both sizes and settled", async () => {
  const rig = openRig();
  const text = packText({ batch: 1, massesKg: Array.from({ length: 30_000 }, () => 1) });
  expect(text.length).toBeGreaterThan(1_000_000);
  const { problem } = await rig.intake.accept(from(text));
  expect(problem).toBe(`payload requires at most 262144 bytes, got ${text.length}`);
  expect(rig.rejected.listRejected(1)[0]?.sample).toHaveLength(2000);
  expect(rig.kept.at(-1)?.kept.through).toBe(1);
  expect(rig.intake.counts()).toMatchObject({ refusedPacks: 1, readings: 0 });
});

test("of a payload that is too long only the head is read, and that settles it", async () => {
  const rig = openRig();
  const text = `${packText({ batch: 1, massesKg: Array.from({ length: 9000 }, () => 1) })} and more`;
  const { problem } = await rig.intake.accept(from(text));
  expect(problem).toMatch(/^payload requires at most 262144 bytes/);
  expect(rig.kept.at(-1)?.kept.through).toBe(1);
  await rig.intake.accept(from("x".repeat(300_000)));
  expect(rig.kept).toHaveLength(1);
});

test("refusals are logged once a minute for each board, with how many were not", async () => {
  const rig = openRig();
  for (let n = 0; n < 5; n++) await rig.intake.accept(from("[]"));
  await rig.intake.accept(from("[]", "dale"));
  expect(rig.log.lines.map(({ fields }) => fields["board"])).toEqual(["hill", "dale"]);
  rig.clock.advance(60_000);
  await rig.intake.accept(from("[]"));
  expect(rig.log.lines.at(-1)).toMatchObject({
    event: "reading refused",
    fields: { unwritten: 4 },
  });
});

test("a watcher that throws loses no acknowledgement", async () => {
  const rig = openRig();
  const intake = createIntake({
    ...rig,
    onCommitted: () => {
      throw new Error("watch broke");
    },
    onPresence: () => undefined,
    publishKept: () => undefined,
  });
  expect(await intake.accept(from(packText({})))).toMatchObject({ stored: 1 });
  expect(rig.log.lines).toMatchObject([{ level: "error", event: "telling of a commit failed" }]);
});

test("presence is stored, told, and refused when it says something else", async () => {
  const rig = openRig();
  await rig.intake.presence(from('{"v":1,"online":true,"program":"brimful-board 1.2.0"}'));
  expect(rig.boards.listBoards()).toMatchObject([
    { name: "hill", online: true, program: "brimful-board 1.2.0" },
  ]);
  await rig.intake.presence(from('{"v":1,"online":false}'));
  expect(rig.boards.listBoards()).toMatchObject([
    { online: false, program: "brimful-board 1.2.0" },
  ]);
  expect(rig.present).toEqual(["hill", "hill"]);
  const { problem } = await rig.intake.presence(from("online", "dale"));
  expect(problem).toBe('presence requires {"v":1,"online":true}, got online');
  expect(rig.boards.listBoards()).toHaveLength(1);
});

test("a store that fails rejects, keeps nothing, tells it once a minute and goes on afterwards", async () => {
  const rig = openRig();
  rig.sqlite.pragma("query_only = ON");
  const refused = await Promise.allSettled([
    rig.intake.accept(from(packText({ batch: 1 }))),
    rig.intake.accept(from(packText({ batch: 2, atMs: startMs + 5000 }))),
    rig.intake.accept(from("not json")),
  ]);
  for (const result of refused) {
    expect(result).toMatchObject({ status: "rejected", reason: { code: "storage-read-only" } });
  }
  expect(rig.kept).toEqual([]);
  expect(rig.intake.counts()).toMatchObject({ packs: 0, storeFailures: 3 });
  expect(rig.log.lines.map(({ event }) => event)).toEqual([
    "store failed, nothing is acknowledged",
  ]);
  rig.sqlite.pragma("query_only = OFF");
  expect(await rig.intake.accept(from(packText({ batch: 1 })))).toMatchObject({ stored: 1 });
  expect(rig.kept).toMatchObject([{ kept: { through: 1 } }]);
});

test("stopping commits what waits and takes no more", async () => {
  const rig = openRig();
  const accepting = rig.intake.accept(from(packText({ batch: 1 })));
  rig.intake.stop();
  rig.intake.stop();
  expect(await accepting).toMatchObject({ stored: 1 });
  await expect(rig.intake.accept(from(packText({})))).rejects.toMatchObject({ code: "storage" });
});

test("cells, probes and boards beyond any yard are refused by name, and the known ones go on", async () => {
  const rig = openRig();
  const records = (count: number, record: (index: number) => object) =>
    JSON.stringify(Array.from({ length: count }, (_, index) => record(index)));
  const many = most.sensorsOfBoard + 3;
  const cells = records(many, (index) => ({ n: `hill/c${index}/mass`, u: "kg", v: 7 }));
  const first = await rig.intake.accept(from(cells));
  expect(first).toMatchObject({ stored: most.sensorsOfBoard, problem: undefined });
  expect(first.refusals).toHaveLength(3);
  expect(first.refusals[0]?.reason).toContain("requires at most 256 cells");
  const probes = records(many, (index) => ({ n: `hill/p${index}/air`, u: "Cel", v: 1 }));
  expect((await rig.intake.accept(from(probes))).stored).toBeLessThanOrEqual(most.sensorsOfBoard);
  rig.clock.advance(60_000);
  expect(await rig.intake.accept(from(cells))).toMatchObject({ stored: most.sensorsOfBoard });
  for (let board = 1; board < most.boards; board += 1) rig.boards.heard(`b${board}`, startMs);
  const stranger = await rig.intake.accept(from(packText({ board: "stranger" }), "stranger"));
  expect(stranger).toMatchObject({ stored: 0, problem: expect.stringContaining("500 boards") });
  const bad = packText({ board: "stranger", batch: 1 }).replace("kg", "lb");
  await rig.intake.accept(from(bad, "stranger"));
  await rig.intake.presence(from('{"v":1,"online":true}', "stranger"));
  expect(rig.boards.listBoards()).toHaveLength(most.boards);
});

test("batches ahead of a gap that is never closed take no more than so much room", () => {
  const rig = openRig();
  const settled = () =>
    rig.sqlite.prepare("SELECT count(*) FROM batch_ahead").pluck().get() as number;
  rig.boards.heard("hill", startMs);
  rig.sqlite.transaction(() => {
    for (let batch = 2; batch < mostAhead + 100; batch += 1) {
      rig.spools.settle({ board: "hill", spool: "a1", batch, skipped: 0 }, startMs);
    }
  })();
  expect(settled()).toBe(mostAhead);
  rig.spools.settle({ board: "hill", spool: "a1", batch: 1, skipped: 0 }, startMs);
  expect(settled()).toBe(0);
  expect(rig.spools.through("hill", "a1")).toBe(mostAhead + 1);
});
