// Readings that a clock running ahead dated later than now wait until their time has come.
import { afterEach, expect, it, vi } from "vitest";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import {
  commit,
  derived,
  filling,
  hang,
  openWatchRig,
  type WatchRig,
} from "../../helpers/watch-rig.ts";

const minuteMs = 60_000;
const cell = "hollow/cell-1";
const nowMs = startMs + 12 * 60 * minuteMs;
const undoing: (() => void)[] = [];
afterEach(() => {
  for (const undo of undoing.splice(0).reverse()) undo();
});

function openRig(): WatchRig {
  const rig = openWatchRig();
  undoing.push(() => {
    rig.watch.stop();
    rig.stores.close();
  });
  return rig;
}

const before = filling({
  fromMs: startMs,
  hours: 12,
  flowGPerH: 900,
  noise: createRandom(3).gaussian,
}).filter(({ atMs }) => atMs <= nowMs);
const lastG = before.at(-1)!.massG;

/** Four weights of a bucket that was gathered for a moment, as it seemed, dated half an hour ahead. */
const ahead = [30, 30.5, 31, 31.5].map((minutes) => ({
  atMs: nowMs + minutes * minuteMs + 7000,
  massG: 4000,
}));

const truth = (minute: number) => ({
  atMs: nowMs + minute * minuteMs,
  massG: lastG + 15 * minute,
});

async function upToNow(): Promise<WatchRig> {
  const rig = openRig();
  hang(rig, { label: "Giant", cell, capacityL: 16 });
  rig.clock.set(nowMs);
  commit(rig, cell, before);
  await rig.watch.settled();
  return rig;
}

const giant = (rig: WatchRig) => rig.watch.yardView().buckets[0]!;

it("readings dated ahead do not stand for now, and true ones do", async () => {
  const rig = await upToNow();
  const { volumeL } = giant(rig);
  commit(rig, cell, ahead);
  await rig.watch.settled();
  const lastReadingMs = before.at(-1)!.atMs;
  expect(giant(rig)).toMatchObject({ volumeL, lastReadingMs, isDatedAhead: true });
  for (let minute = 1; minute <= 5; minute += 1) {
    rig.clock.set(nowMs + minute * minuteMs);
    commit(rig, cell, [truth(minute)]);
    await rig.watch.settled();
    expect(giant(rig).lastReadingMs).toBe(truth(minute).atMs);
    expect(giant(rig).volumeL).toBeGreaterThan(10);
  }
  expect(rig.stores.gatherings.list({ fromMs: 0, toMs: Number.MAX_SAFE_INTEGER })).toEqual([]);
});

it("nothing that boards say of a time to come is shown before it", async () => {
  const rig = await upToNow();
  commit(rig, cell, ahead);
  const { readings, boards } = rig.stores;
  const cellKey = boards.findCell("hollow", "cell-1")!.key;
  readings.insertFault({ cellKey, atMs: nowMs + minuteMs, fault: "stuck" });
  readings.insertValue({ board: "hollow", quantity: "supply", atMs: nowMs + minuteMs, value: 9 });
  rig.watch.recordsChanged();
  await rig.watch.settled();
  const lastReadingMs = before.at(-1)!.atMs;
  const atOnce = rig.watch.yardView();
  expect(atOnce.boards).toMatchObject([{ supplyV: null, cells: [{ fault: null, lastReadingMs }] }]);
  expect(atOnce.buckets).toMatchObject([{ state: "running" }]);
  const span = { fromMs: nowMs - 60 * minuteMs, toMs: nowMs + 60 * minuteMs, stepMs: minuteMs };
  const { atMs, volumeL } = rig.watch.curve(giant(rig).id, span);
  const drawnMs = atMs.filter((_, index) => volumeL[index] !== null);
  expect(drawnMs.at(-1)).toBeLessThanOrEqual(nowMs);
  rig.clock.set(nowMs + minuteMs);
  rig.watch.recordsChanged();
  await rig.watch.settled();
  expect(rig.watch.yardView().boards).toMatchObject([{ supplyV: 9, cells: [{ fault: "stuck" }] }]);
});

it("a bucket that is emptied is empty at once, whatever was dated ahead", async () => {
  const rig = await upToNow();
  commit(rig, cell, ahead);
  await rig.watch.settled();
  for (let minute = 1; minute <= 10; minute += 0.5) {
    rig.clock.set(nowMs + minute * minuteMs);
    commit(rig, cell, [{ atMs: rig.clock.nowMs(), massG: 805 }]);
  }
  await rig.watch.settled();
  expect(giant(rig).volumeL).toBeLessThan(0.1);
  expect(giant(rig).laidOn).toBeNull();
});

it("a clock that is a little ahead is not spoken of", async () => {
  const rig = await upToNow();
  expect(giant(rig).isDatedAhead).toBe(false);
  commit(rig, cell, [truth(0.8)]);
  await rig.watch.settled();
  expect(giant(rig).isDatedAhead).toBe(false);
});

it("what waits is gone through once its time has come, also when nothing more is heard", async () => {
  vi.useFakeTimers({ toFake: ["setInterval", "clearInterval"] });
  undoing.push(() => vi.useRealTimers());
  const rig = await upToNow();
  rig.watch.start();
  commit(rig, cell, [truth(10), truth(11)]);
  await rig.watch.settled();
  expect(giant(rig).lastReadingMs).toBe(before.at(-1)!.atMs);
  rig.clock.set(truth(10).atMs);
  vi.advanceTimersByTime(1000);
  await rig.watch.settled();
  expect(giant(rig).lastReadingMs).toBe(truth(10).atMs);
  rig.clock.set(truth(11).atMs + 1);
  vi.advanceTimersByTime(1000);
  await rig.watch.settled();
  expect(giant(rig).lastReadingMs).toBe(truth(11).atMs);
});

it("what was gone through stays when the server's clock is set back and something comes late", async () => {
  const rig = openRig();
  hang(rig, { label: "Giant", cell, capacityL: 16 });
  rig.clock.set(nowMs);
  const [missing, ...others] = [before.slice(100, 200), before.slice(0, 100), before.slice(200)];
  commit(rig, cell, others.flat());
  await rig.watch.settled();
  const { volumeL, lastReadingMs } = giant(rig);
  rig.clock.set(nowMs - 3 * 60 * minuteMs);
  commit(rig, cell, missing);
  await rig.watch.settled();
  expect(giant(rig).lastReadingMs).toBe(lastReadingMs);
  expect(giant(rig).volumeL).toBeCloseTo(volumeL!, 1);
});

it.each([
  ["a bucket that runs on", (minute: number) => truth(minute).massG, 0],
  ["a bucket that was emptied", (minute: number) => 800 + 5 * minute, 1],
])(
  "%s is as if gone through from the start an hour later, with no gathering made up",
  async (...given) => {
    const [, massAt, gathered] = given;
    const rig = await upToNow();
    commit(rig, cell, ahead);
    for (let minute = 0.5; minute <= 60; minute += 0.5) {
      rig.clock.set(nowMs + minute * minuteMs);
      commit(rig, cell, [{ atMs: rig.clock.nowMs(), massG: massAt(minute) }]);
      await rig.watch.settled();
    }
    const live = derived(rig);
    expect(giant(rig).isDatedAhead).toBe(false);
    expect(giant(rig).volumeL).toBeCloseTo((massAt(60) - 800) / 1000, 0);
    const gatherings = rig.stores.gatherings.list({ fromMs: 0, toMs: Number.MAX_SAFE_INTEGER });
    expect(gatherings).toHaveLength(gathered);
    rig.watch.recordsChanged({ bucketId: giant(rig).id, fromMs: 0 });
    await rig.watch.settled();
    expect(derived(rig)).toEqual(live);
  },
);
