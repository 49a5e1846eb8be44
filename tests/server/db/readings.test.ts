// Tests the stores of readings, boards, spools, refusals, credentials and settings in a real database.
import { beforeEach, expect, test } from "vitest";
import { openRig, type Rig, startMs } from "../../helpers/store-rig.ts";

let rig: Rig;
beforeEach(() => {
  rig = openRig();
  rig.boards.heard("hill", startMs);
});

const cellKey = (name = "cell-1") => rig.boards.cellKey({ board: "hill", name, atMs: startMs });

function insert(key: number, atMs: number, massG: number) {
  return rig.readings.insertReading({ cellKey: key, atMs, massG, spreadG: null, counts: null });
}

test("the first of two readings of a cell and time stays", () => {
  const key = cellKey();
  expect(insert(key, startMs, 100)).toBe(true);
  expect(insert(key, startMs, 200)).toBe(false);
  expect(rig.readings.listReadings({ cellKey: key, fromMs: 0, untilMs: 8e15 })).toMatchObject([
    { massG: 100 },
  ]);
});

test("masses are kept to the tenth of a gram, temperatures to the hundredth, supply to the millivolt", () => {
  const key = cellKey();
  rig.readings.insertReading({ cellKey: key, atMs: 1, massG: -7.26, spreadG: 0.14, counts: -5 });
  expect(rig.readings.latestOfCells(1)).toEqual([
    { cellKey: key, atMs: 1, massG: -7.3, spreadG: 0.1, counts: -5 },
  ]);
  const probeKey = rig.boards.probeKey({ board: "hill", name: "air", atMs: startMs });
  rig.readings.insertTemperature({ probeKey, atMs: 1, tempC: -1.256 });
  expect(rig.readings.temperatureAt({ probeKey, atMs: 1 })?.tempC).toBe(-1.26);
  rig.readings.insertValue({ board: "hill", quantity: "supply", atMs: 1, value: 12.3456 });
  expect(rig.readings.latestValue({ board: "hill", quantity: "supply", atMs: 1 })?.value).toBe(
    12.346,
  );
});

test("a span includes its start and excludes its end, in order of time, up to the limit", () => {
  const key = cellKey();
  for (const atMs of [3000, 1000, 4000, 2000]) insert(key, atMs, atMs / 1000);
  const span = { cellKey: key, fromMs: 1000, untilMs: 4000 };
  expect(rig.readings.listReadings(span).map(({ atMs }) => atMs)).toEqual([1000, 2000, 3000]);
  expect(rig.readings.listReadings({ ...span, limit: 2 })).toHaveLength(2);
  expect(rig.readings.earliestMs(key)).toBe(1000);
  expect(rig.readings.earliestMs(key + 1)).toBeUndefined();
  expect(rig.readings.latestOfCells(4000)).toMatchObject([{ atMs: 4000 }]);
  expect(rig.readings.latestOfCells(3999)).toMatchObject([{ atMs: 3000 }]);
  expect(rig.readings.latestOfCells(999)).toEqual([]);
});

test("the temperature at an instant is the newest before it", () => {
  const probeKey = rig.boards.probeKey({ board: "hill", name: "air", atMs: startMs });
  for (const atMs of [1000, 3000]) {
    rig.readings.insertTemperature({ probeKey, atMs, tempC: atMs / 1000 });
  }
  expect(rig.readings.temperatureAt({ probeKey, atMs: 2999 })?.tempC).toBe(1);
  expect(rig.readings.temperatureAt({ probeKey, atMs: 3000 })?.tempC).toBe(3);
  expect(rig.readings.temperatureAt({ probeKey, atMs: 999 })).toBeUndefined();
});

test("a cell keeps its key, also after the keys were forgotten", () => {
  const key = cellKey();
  expect(cellKey("cell-2")).not.toBe(key);
  rig.boards.forgetKeys();
  expect(cellKey()).toBe(key);
  expect(rig.boards.listCells().map(({ name }) => name)).toEqual(["cell-1", "cell-2"]);
});

test("the last time a board was heard never goes back", () => {
  rig.boards.heard("hill", startMs + 5000);
  rig.boards.heard("hill", startMs - 5000);
  expect(rig.boards.listBoards()).toMatchObject([
    { firstHeardMs: startMs, lastHeardMs: startMs + 5000 },
  ]);
});

test("each board's newest spool is the one whose kept is told", () => {
  rig.spools.settle({ board: "hill", spool: "old", batch: 1, skipped: 0 }, startMs);
  rig.spools.settle({ board: "hill", spool: "new", batch: 1, skipped: 0 }, startMs + 1);
  expect(rig.spools.listLatest()).toEqual([{ board: "hill", spool: "new", through: 1 }]);
});

test("of a board's many spools those heard last stay, of other boards all", () => {
  const settle = (board: string, number: number, batch: number) =>
    rig.spools.settle({ board, spool: `s${number}`, batch, skipped: 0 }, startMs + number);
  rig.boards.heard("dale", startMs);
  settle("dale", 0, 1);
  for (let number = 0; number < 250; number++) settle("hill", number, 2);
  settle("hill", 150, 1);
  const count = (table: string) =>
    rig.sqlite.prepare(`SELECT count(*) FROM ${table} WHERE board = 'hill'`).pluck().get();
  expect([count("spool"), count("batch_ahead")]).toEqual([100, 99]);
  expect(rig.spools.through("hill", "s150")).toBe(2);
  expect(rig.spools.through("dale", "s0")).toBe(1);
  expect(rig.spools.listLatest().map(({ spool }) => spool)).toEqual(["s0", "s249"]);
});

test("of what was refused the last thousand are kept, cut to 2,000 characters", () => {
  for (let n = 0; n < 1010; n++) {
    const sample = "x".repeat(3000);
    rig.rejected.insertRejected({ atMs: n, source: "test", reason: `${n}`, sample });
  }
  const kept = rig.rejected.listRejected(5000);
  expect(kept).toHaveLength(1000);
  expect(kept[0]).toMatchObject({ reason: "1009" });
  expect(kept[0]?.sample).toHaveLength(2000);
});

test("settings come back as they were set", () => {
  rig.settings.setSetting("x", { a: [1, null] });
  rig.settings.setSetting("x", { a: [2] });
  expect(rig.settings.getSetting("x")).toEqual({ a: [2] });
  rig.settings.removeSetting("x");
  expect(rig.settings.getSetting("x")).toBeUndefined();
});
