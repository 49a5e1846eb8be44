// A bucket is silent when its cell is, not while what the cell told is still being gone through.
import { afterEach, beforeEach, expect, it } from "vitest";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, filling, hang, openWatchRig, type WatchRig } from "../../helpers/watch-rig.ts";

const hourMs = 3_600_000;
let rig: WatchRig;
beforeEach(() => {
  rig = openWatchRig();
});
afterEach(() => {
  rig.watch.stop();
  rig.stores.close();
});

/** Readings up to now, of so many hours. */
function weigh(cell: string, { hours, fromMs = startMs - hours * hourMs, startG = 500 }: Weighed) {
  const { gaussian } = createRandom(7);
  commit(rig, cell, filling({ fromMs, hours, flowGPerH: 40, startG, noise: gaussian }));
}
type Weighed = { hours: number; fromMs?: number; startG?: number };

const bucketOf = (id: string) => rig.watch.yardView().buckets.find((bucket) => bucket.id === id);

it("calls no bucket silent whose history is being gone through", async () => {
  weigh("hill/cell-1", { hours: 96 });
  await rig.watch.settled();
  const id = hang(rig, { label: "Porch", cell: "hill/cell-1", fromMs: startMs - 96 * hourMs });
  const seen: string[] = [];
  let isDone = false;
  void rig.watch.settled().then(() => {
    isDone = true;
  });
  while (!isDone) {
    await new Promise((resolve) => setImmediate(resolve));
    const { doNow, alarms } = rig.watch.yardView();
    seen.push(bucketOf(id)?.state ?? "", ...doNow.parts.map(({ verb }) => verb));
    seen.push(...alarms.map(({ kind }) => kind));
  }
  expect(seen.length).toBeGreaterThan(4);
  expect(seen).not.toContain("silent");
  expect(seen).not.toContain("look");
  expect(bucketOf(id)?.lastReadingMs).toBe(startMs - 30_000);
});

it("goes through all cells that a bucket hung on, though no reading comes any more", async () => {
  weigh("hill/cell-1", { hours: 10, fromMs: startMs - 20 * hourMs });
  weigh("hill/cell-2", { hours: 10 });
  const id = hang(rig, { label: "Porch", cell: "hill/cell-1" });
  await rig.watch.settled();
  const fromMs = startMs - 10 * hourMs;
  rig.stores.buckets.update(id, { cell: "hill/cell-2", fromMs }, startMs);
  rig.watch.recordsChanged({ bucketId: id, fromMs });
  await rig.watch.settled();
  expect(bucketOf(id)?.lastReadingMs).toBe(startMs - 30_000);
});

it("waits for the first reading of a cell that a bucket was just hung on", async () => {
  rig.watch.start();
  weigh("hill/cell-1", { hours: 10, fromMs: startMs - 12 * hourMs });
  weigh("hill/cell-2", { hours: 10 });
  const id = hang(rig, { label: "Porch", cell: "hill/cell-1" });
  await rig.watch.settled();
  expect(bucketOf(id)?.state).toBe("silent");
  rig.stores.buckets.update(id, { cell: "hill/cell-2" }, startMs);
  rig.watch.recordsChanged({ bucketId: id, fromMs: startMs });
  await rig.watch.settled();
  expect(bucketOf(id)?.state).toBe("unheard");
  rig.clock.advance(11 * 60_000);
  expect(bucketOf(id)?.state).toBe("silent");
});
