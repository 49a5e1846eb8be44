// Trees, taps, buckets and what hung where: changes never rewrite the past.
import { describe, expect, test } from "vitest";
import { createBucketStore } from "../../../server/db/buckets.ts";
import { openStore } from "../../../server/db/open.ts";
import { uniqueIdFrom } from "../../../server/db/slug.ts";
import { createTapStore } from "../../../server/db/taps.ts";
import { createTreeStore } from "../../../server/db/trees.ts";

const startMs = 1_772_000_000_000;
const hourMs = 3_600_000;

function openRecords() {
  const sqlite = openStore(":memory:");
  const trees = createTreeStore(sqlite);
  const taps = createTapStore(sqlite);
  const buckets = createBucketStore(sqlite);
  const hear = (board: string, cell: string, atMs: number) => {
    sqlite
      .prepare("INSERT OR IGNORE INTO board (name, first_heard_ms, last_heard_ms) VALUES (?, ?, ?)")
      .run(board, atMs, atMs);
    sqlite
      .prepare("INSERT INTO cell (board, name, first_heard_ms) VALUES (?, ?, ?)")
      .run(board, cell, atMs);
    return sqlite
      .prepare("SELECT key FROM cell WHERE board = ? AND name = ?")
      .pluck()
      .get(board, cell) as number;
  };
  const tree = trees.insert({ label: "Gate", species: null, girthCm: null, note: null });
  const tap = taps.insert({ treeId: tree.id, tappedMs: null });
  return { sqlite, trees, taps, buckets, hear, tree, tap };
}

const pail = {
  label: "Gate",
  tapIds: [],
  cell: "hill/cell-1",
  capacityL: 15,
  emptyKg: 0.9,
  role: "sap" as const,
};

describe("ids", () => {
  test("come from the label, in plain letters, and are made unique", () => {
    const taken = new Set(["gate", "gate-2"]);
    const idOf = (label: string) => uniqueIdFrom(label, "tree", (id) => taken.has(id));
    expect(idOf("Old Érable, by the barn!")).toBe("old-erable-by-the-barn");
    expect(idOf("Gate")).toBe("gate-3");
    expect(idOf("楓")).toBe("tree");
    expect(idOf("x".repeat(40))).toHaveLength(28);
  });

  test("stay when the label changes", () => {
    const { trees, tree } = openRecords();
    expect(trees.update(tree.id, { label: "Lane", girthCm: 140 })).toEqual({
      id: "gate",
      label: "Lane",
      species: null,
      girthCm: 140,
      note: null,
      health: "sound",
    });
    expect(trees.list().map((each) => each.id)).toEqual(["gate"]);
  });
});

describe("trees and taps", () => {
  test("a tap without a label is called after its tree", () => {
    const { taps, tree, tap } = openRecords();
    expect(tap).toMatchObject({ id: "gate-1", label: "Gate 1", treeId: "gate", pulledMs: null });
    expect(taps.insert({ treeId: tree.id, tappedMs: 5 }).label).toBe("Gate 2");
  });

  test("a tap needs a tree that exists", () => {
    const { taps } = openRecords();
    expect(() => taps.insert({ treeId: "nowhere", tappedMs: null })).toThrow(
      "treeId requires a tree that exists, got nowhere",
    );
  });

  test("a tap can't be pulled before it was tapped", () => {
    const { taps, tap } = openRecords();
    expect(() => taps.update(tap.id, { tappedMs: 10, pulledMs: 9 })).toThrow("pulledMs requires");
    expect(taps.update(tap.id, { tappedMs: 10, pulledMs: 11 }).pulledMs).toBe(11);
  });

  test("a tapped tree and a tap that ran into a bucket are kept, others can go", () => {
    const { trees, taps, buckets, tree, tap } = openRecords();
    expect(() => trees.remove(tree.id)).toThrow("without taps, got 1");
    buckets.insert({ ...pail, tapIds: [tap.id] }, startMs);
    expect(() => taps.remove(tap.id)).toThrow("set pulledMs instead");
    const other = trees.insert({ label: "Lane", species: null, girthCm: null, note: null });
    const second = taps.insert({ treeId: other.id, tappedMs: null });
    taps.remove(second.id);
    trees.remove(other.id);
    expect(trees.find(other.id)).toBeUndefined();
    expect(() => taps.get(second.id)).toThrow("tap requires one that exists");
    expect(() => trees.get("nowhere")).toThrow("tree requires one that exists, got nowhere");
  });
});

describe("buckets", () => {
  test("the first bucket on a cell holds from the cell's first reading on", () => {
    const { buckets, hear } = openRecords();
    const cellKey = hear("hill", "cell-1", startMs - 5 * hourMs);
    const { bucket, againFromMs } = buckets.insert(pail, startMs);
    expect(bucket).toEqual({ ...pail, id: "gate", sunShare: 0.5, parked: false });
    expect(againFromMs).toBe(startMs - 5 * hourMs);
    expect(buckets.hangings.ofCellAt(cellKey, startMs - hourMs)?.bucketId).toBe("gate");
    expect(buckets.hangings.ofCellAt(cellKey, startMs - 6 * hourMs)).toBeUndefined();
  });

  test("a bucket may be set up before its cell is first heard", () => {
    const { buckets, hear } = openRecords();
    buckets.insert(pail, startMs);
    expect(buckets.hangings.current("gate")).toMatchObject({ cell: "hill/cell-1", cellKey: null });
    const cellKey = hear("hill", "cell-1", startMs + 1);
    expect(buckets.hangings.current("gate")?.cellKey).toBe(cellKey);
  });

  test("one cell carries one bucket at a time, and the refusal names it", () => {
    const { buckets } = openRecords();
    buckets.insert(pail, startMs);
    expect(() => buckets.insert({ ...pail, label: "Lane" }, startMs)).toThrow(
      'cell requires one without a bucket, got hill/cell-1, which carries "Gate" (gate)',
    );
    expect(buckets.list().map((each) => each.id)).toEqual(["gate"]);
  });

  test("one tap runs into one bucket at a time, and has to exist", () => {
    const { buckets, tap } = openRecords();
    buckets.insert({ ...pail, tapIds: [tap.id] }, startMs);
    const other = { ...pail, label: "Lane", cell: null };
    expect(() => buckets.insert({ ...other, tapIds: [tap.id] }, startMs)).toThrow(
      'got gate-1, which runs into "Gate" (gate)',
    );
    expect(() => buckets.insert({ ...other, tapIds: ["t9"] }, startMs)).toThrow("got t9");
  });

  test("a bucket that gets its first cell holds it since the cell was heard, a moved one from now", () => {
    const { buckets, hear } = openRecords();
    buckets.insert({ ...pail, cell: null, fromMs: startMs }, startMs);
    hear("hill", "cell-1", startMs + hourMs);
    hear("hill", "cell-2", startMs + hourMs);
    const nowMs = startMs + 3 * hourMs;
    expect(buckets.update("gate", { cell: "hill/cell-1" }, nowMs).againFromMs).toBe(
      startMs + hourMs,
    );
    expect(buckets.update("gate", { cell: "hill/cell-2" }, nowMs).againFromMs).toBe(nowMs);
  });

  test("a change of weight or taps holds from now and the old weight still holds before", () => {
    const { buckets, hear, tap } = openRecords();
    const cellKey = hear("hill", "cell-1", startMs);
    buckets.insert(pail, startMs);
    const change = buckets.update("gate", { emptyKg: 1.4, tapIds: [tap.id] }, startMs + hourMs);
    expect(change.againFromMs).toBe(startMs + hourMs);
    expect(change.bucket).toMatchObject({ emptyKg: 1.4, tapIds: ["gate-1"] });
    const at = (atMs: number) => buckets.hangings.ofCellAt(cellKey, atMs);
    expect(at(startMs + hourMs - 1)).toMatchObject({ emptyG: 900, tapIds: [] });
    expect(at(startMs + hourMs)).toMatchObject({ emptyG: 1400, tapIds: ["gate-1"] });
    expect(buckets.hangings.listOfBucket("gate").map((each) => each.untilMs)).toEqual([
      startMs + hourMs,
      null,
    ]);
  });

  test("a move from before the present setup began is refused, a change from its very start corrects it", () => {
    const { buckets } = openRecords();
    buckets.insert({ ...pail, fromMs: startMs }, startMs);
    for (const change of [{ emptyKg: 1 }, { cell: "hill/cell-2" }]) {
      expect(() =>
        buckets.update("gate", { ...change, fromMs: startMs - 60_000 }, startMs + hourMs),
      ).toThrow(`fromMs requires ${new Date(startMs).toISOString()} or later`);
    }
    // People say minutes: the one in which it began is its very start.
    buckets.update("gate", { emptyKg: 1, fromMs: startMs - 1 }, startMs + hourMs);
    expect(buckets.hangings.listOfBucket("gate")).toMatchObject([{ emptyG: 1000, untilMs: null }]);
    expect(() =>
      buckets.update("gate", { emptyKg: 2, fromMs: startMs + 9 * hourMs }, startMs + hourMs),
    ).toThrow("fromMs requires a time up to now");
  });

  test("what it weighs or holds is put right from earlier on, whatever changed meanwhile on its cell", () => {
    const { buckets, tap } = openRecords();
    buckets.insert({ ...pail, fromMs: startMs }, startMs);
    const nowMs = startMs + 9 * hourMs;
    buckets.update("gate", { cell: "hill/cell-2", fromMs: startMs + hourMs }, nowMs);
    buckets.update("gate", { tapIds: [tap.id], fromMs: startMs + 4 * hourMs }, nowMs);
    buckets.update("gate", { capacityL: 12, emptyKg: 1.1, fromMs: startMs + 6 * hourMs }, nowMs);
    const change = buckets.update("gate", { emptyKg: 1.3, fromMs: startMs + 2 * hourMs }, nowMs);
    expect(change).toMatchObject({ againFromMs: startMs + 2 * hourMs, bucket: { emptyKg: 1.3 } });
    const hung = buckets.hangings
      .listOfBucket("gate")
      .map(({ fromMs, untilMs, emptyG, capacityL, tapIds }) => [
        ...[fromMs, untilMs].map((atMs) => atMs && (atMs - startMs) / hourMs),
        ...[emptyG, capacityL, tapIds.length],
      ]);
    expect(hung).toEqual([
      [0, 1, 900, 15, 0],
      [1, 2, 900, 15, 0],
      [2, 4, 1300, 15, 0],
      [4, 6, 1300, 15, 1],
      [6, null, 1300, 12, 1],
    ]);
    // As it is now, and only since when: that holds from then on.
    expect(buckets.update("gate", { fromMs: startMs + 3 * hourMs }, nowMs).againFromMs).toBe(
      startMs + 3 * hourMs,
    );
    expect(buckets.hangings.listOfBucket("gate").map(({ capacityL }) => capacityL)).toEqual([
      ...[15, 15, 15],
      ...[12, 12, 12],
    ]);
    const tooEarly = { emptyKg: 1, fromMs: startMs };
    expect(() => buckets.update("gate", tooEarly, nowMs)).toThrow(
      `fromMs requires ${new Date(startMs + hourMs).toISOString()} or later`,
    );
  });

  test("label, role and parking have no history, and a change to the same opens no new span", () => {
    const { buckets } = openRecords();
    buckets.insert(pail, startMs);
    const change = buckets.update(
      "gate",
      { label: "Lane", parked: true, role: "control", emptyKg: 0.9 },
      startMs + hourMs,
    );
    expect(change.againFromMs).toBeUndefined();
    expect(change.bucket).toMatchObject({ id: "gate", label: "Lane", parked: true });
    expect(buckets.hangings.listOfBucket("gate")).toHaveLength(1);
  });

  test("a freed cell goes to another bucket and each keeps its own time on it", () => {
    const { buckets, hear } = openRecords();
    const cellKey = hear("hill", "cell-1", startMs);
    buckets.insert(pail, startMs);
    buckets.update("gate", { cell: null }, startMs + hourMs);
    const { againFromMs } = buckets.insert({ ...pail, label: "Lane" }, startMs + 2 * hourMs);
    expect(againFromMs).toBe(startMs + 2 * hourMs);
    const holders = [0.5, 1.5, 2.5].map(
      (hours) => buckets.hangings.ofCellAt(cellKey, startMs + hours * hourMs)?.bucketId,
    );
    expect(holders).toEqual(["gate", undefined, "lane"]);
    const since = buckets.hangings.listOfCellSince(cellKey, startMs + hourMs);
    expect(since.map((each) => each.bucketId)).toEqual(["lane"]);
  });

  test("a refused change leaves everything as it was", () => {
    const { buckets } = openRecords();
    buckets.insert(pail, startMs);
    buckets.insert({ ...pail, label: "Lane", cell: "hill/cell-2" }, startMs);
    expect(() =>
      buckets.update("lane", { label: "New", cell: "hill/cell-1" }, startMs + hourMs),
    ).toThrow("which carries");
    expect(buckets.get("lane")).toMatchObject({ label: "Lane", cell: "hill/cell-2" });
    expect(buckets.hangings.listOfBucket("lane")).toHaveLength(1);
  });

  test("a bucket with a past is kept, one without can go", () => {
    const { sqlite, buckets } = openRecords();
    buckets.insert(pail, startMs);
    sqlite
      .prepare("INSERT INTO event VALUES ('gate', ?, ?, 'emptied', -100000)")
      .run(startMs, startMs);
    expect(() => buckets.remove("gate")).toThrow("park it instead");
    buckets.insert({ ...pail, label: "Lane", cell: null }, startMs);
    buckets.remove("lane");
    expect(buckets.has("lane")).toBe(false);
    expect(() => buckets.get("lane")).toThrow("bucket requires one that exists, got lane");
  });
});
