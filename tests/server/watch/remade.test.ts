// What a bucket weighs, put right for the past over a later edit, gives what it would have given from the start.
import { afterEach, expect, it } from "vitest";
import type { BucketPatch } from "../../../shared/wire/records.ts";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, filling, hang, openWatchRig, type WatchRig } from "../../helpers/watch-rig.ts";

const hourMs = 3_600_000;
const rigs: WatchRig[] = [];
afterEach(() => {
  for (const { watch, stores } of rigs.splice(0)) {
    watch.stop();
    stores.close();
  }
});

async function derivedAfter(patches: BucketPatch[]) {
  const rig = openWatchRig();
  rigs.push(rig);
  const fromMs = startMs - 20 * hourMs;
  const id = hang(rig, { label: "Gate", cell: "hill/cell-1", fromMs });
  const { gaussian } = createRandom(4);
  const span = { fromMs, hours: 20, flowGPerH: 150, noise: gaussian };
  commit(rig, "hill/cell-1", filling(span));
  await rig.watch.settled();
  for (const patch of patches) {
    const { againFromMs } = rig.stores.buckets.update(id, patch, startMs);
    rig.watch.recordsChanged({ bucketId: id, fromMs: againFromMs ?? startMs });
    await rig.watch.settled();
  }
  const list = (sql: string) => rig.stores.sqlite.prepare(sql).all();
  return {
    slots: list("SELECT * FROM ten_minute ORDER BY 1, 2"),
    days: list("SELECT * FROM day ORDER BY 1, 2"),
  };
}

it.each([15, 20])("weighs the past anew from %i hours ago on", async (hoursAgo) => {
  const weight = { emptyKg: 0.5, fromMs: startMs - hoursAgo * hourMs };
  const capacity = { capacityL: 9, fromMs: startMs - 10 * hourMs };
  const putRight = await derivedAfter([capacity, weight]);
  expect(putRight.slots.length).toBeGreaterThan(110);
  expect(putRight).toEqual(await derivedAfter([weight, capacity]));
});
