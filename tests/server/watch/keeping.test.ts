// Keeping through the watch: the record's sun and a person's washing reach what is said of the sap.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, filling, hang, openWatchRig, type WatchRig } from "../../helpers/watch-rig.ts";

const hourMs = 3_600_000;
const cell = "hill/cell-1";
let rig: WatchRig;
beforeEach(() => {
  rig = openWatchRig();
  rig.watch.start();
});
afterEach(() => {
  rig.watch.stop();
  rig.stores.close();
});

/** Two days in the mild with a gathering between, then some new sap. */
async function twoFills(id: string): Promise<number> {
  const fromMs = startMs - 36 * hourMs;
  const emptiedMs = fromMs + 30 * hourMs;
  commit(rig, cell, filling({ fromMs, hours: 30, flowGPerH: 150, airC: 9 }));
  commit(rig, cell, filling({ fromMs: emptiedMs, hours: 6, flowGPerH: 150, airC: 9 }));
  await rig.watch.settled();
  expect(
    rig.stores.gatherings.list({ fromMs: 0, toMs: startMs + hourMs, bucketId: id }),
  ).toHaveLength(1);
  return emptiedMs;
}

const spent = (id: string) =>
  rig.watch.yardView().buckets.find((bucket) => bucket.id === id)?.keeping?.spentFraction ?? 1;

describe("keeping", () => {
  test("starts lower in a bucket that a person washed when it was emptied", async () => {
    const id = hang(rig, { label: "Gate", cell });
    const emptiedMs = await twoFills(id);
    const unwashed = spent(id);
    rig.stores.buckets.washings.insert(id, emptiedMs);
    rig.watch.recordsChanged({ bucketId: id, fromMs: emptiedMs });
    await rig.watch.settled();
    expect(spent(id)).toBeLessThan(unwashed - 0.1);
    rig.stores.buckets.washings.remove(id, emptiedMs);
    rig.watch.recordsChanged({ bucketId: id, fromMs: emptiedMs });
    await rig.watch.settled();
    expect(spent(id)).toBe(unwashed);
  });
});
