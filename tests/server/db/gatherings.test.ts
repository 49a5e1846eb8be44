// Gatherings: what a person said of one holds against whatever the readings say later.
import { expect, test } from "vitest";
import { createBucketStore } from "../../../server/db/buckets.ts";
import { createGatheringStore } from "../../../server/db/gatherings.ts";
import { openStore } from "../../../server/db/open.ts";

const startMs = 1_772_000_000_000;
const minuteMs = 60_000;
const all = { fromMs: 0, toMs: 2 * startMs };

function openGatherings() {
  const sqlite = openStore(":memory:");
  createBucketStore(sqlite).insert(
    { label: "Gate", tapIds: [], cell: null, capacityL: 15, emptyKg: 1, role: "sap" },
    startMs,
  );
  return createGatheringStore(sqlite);
}

test("one that a cell saw twice is there once, with the newer volume", () => {
  const gatherings = openGatherings();
  gatherings.putDetected("gate", { atMs: startMs, volumeL: 7.1 });
  gatherings.putDetected("gate", { atMs: startMs, volumeL: 7.25 });
  expect(gatherings.list(all)).toEqual([
    {
      id: 1,
      bucketId: "gate",
      atMs: startMs,
      volumeL: 7.25,
      by: "cell",
      struck: false,
      note: null,
    },
  ]);
});

test("a corrected or struck one stays so when its cell's readings are gone through again", () => {
  const gatherings = openGatherings();
  gatherings.replaceDetected("gate", 0, [
    { atMs: startMs, volumeL: 7 },
    { atMs: startMs + 60 * minuteMs, volumeL: 3 },
    { atMs: startMs + 120 * minuteMs, volumeL: 5 },
  ]);
  gatherings.update(1, { volumeL: 6.5, note: "spilt some" });
  gatherings.update(2, { struck: true });
  gatherings.replaceDetected("gate", 0, [
    { atMs: startMs, volumeL: 7.1 },
    { atMs: startMs + 62 * minuteMs, volumeL: 3.2 },
    { atMs: startMs + 150 * minuteMs, volumeL: 5.5 },
  ]);
  expect(
    gatherings
      .list(all)
      .map(({ atMs, volumeL, struck, note }) => [
        (atMs - startMs) / minuteMs,
        volumeL,
        struck,
        note,
      ]),
  ).toEqual([
    [0, 6.5, false, "spilt some"],
    [60, 3, true, null],
    [150, 5.5, false, null],
  ]);
});

test("going through the past again keeps what lies before it, and ids of what is still there", () => {
  const gatherings = openGatherings();
  gatherings.replaceDetected("gate", 0, [
    { atMs: startMs, volumeL: 7 },
    { atMs: startMs + 60 * minuteMs, volumeL: 3 },
  ]);
  gatherings.replaceDetected("gate", startMs + 1, [{ atMs: startMs + 60 * minuteMs, volumeL: 4 }]);
  expect(gatherings.list(all).map(({ id, volumeL }) => [id, volumeL])).toEqual([
    [1, 7],
    [2, 4],
  ]);
});

test("one logged by hand is no reading's to remove and can be deleted; a cell's is struck instead", () => {
  const gatherings = openGatherings();
  const byHand = gatherings.insert({ bucketId: "gate", atMs: startMs, volumeL: 2.5, note: null });
  expect(byHand.by).toBe("hand");
  gatherings.replaceDetected("gate", 0, [{ atMs: startMs, volumeL: 7 }]);
  gatherings.replaceDetected("gate", 0, []);
  expect(gatherings.list(all)).toEqual([byHand]);
  gatherings.remove(byHand.id);
  gatherings.putDetected("gate", { atMs: startMs, volumeL: 7 });
  const [seen] = gatherings.list(all);
  expect(() => gatherings.remove(seen!.id)).toThrow("strike it instead");
  expect(() => gatherings.get(99)).toThrow("gathering requires one that exists, got 99");
});

test("a span has its start and not its end, and can be of one bucket", () => {
  const gatherings = openGatherings();
  gatherings.putDetected("gate", { atMs: startMs, volumeL: 7 });
  expect(gatherings.list({ fromMs: startMs, toMs: startMs + 1 })).toHaveLength(1);
  expect(gatherings.list({ fromMs: startMs - 1, toMs: startMs })).toHaveLength(0);
  expect(gatherings.list({ ...all, bucketId: "lane" })).toHaveLength(0);
});
