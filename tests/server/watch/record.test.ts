// The record through the watch: a bucket that fills is forecast, warned of, gathered and scored a day later.
import { afterEach, beforeEach, expect, test } from "vitest";
import { recordSchema } from "../../../shared/wire/record.ts";
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

/** Fills at 400 g/h for 20 h, is emptied, and then hardly runs for two days. */
async function fillAndStand(): Promise<string> {
  const id = hang(rig, { label: "Gate", cell, capacityL: 12 });
  const fromMs = startMs - 72 * hourMs;
  commit(rig, cell, filling({ fromMs, hours: 20, flowGPerH: 400 }));
  commit(rig, cell, filling({ fromMs: fromMs + 20 * hourMs, hours: 50, flowGPerH: 400 * 0.05 }));
  await rig.watch.settled();
  return id;
}

test("an empty record says so", () => {
  const record = rig.watch.record();
  expect(recordSchema.parse(record)).toEqual(record);
  expect(record.sinceMs).toBeNull();
  expect(record.warnings).toMatchObject({ useful: 0, overflows: 0, missed: 0 });
});

test("each hour is kept once, and closed when its day is over", async () => {
  await fillAndStand();
  const record = rig.watch.record();
  expect(recordSchema.parse(record)).toEqual(record);
  const [half, whole] = record.reliability;
  // What came long ago is judged less often.
  expect(half?.count).toBeGreaterThan(20);
  expect(half?.count).toBeLessThanOrEqual(47);
  expect(whole?.count).toBe(half?.count);
  expect(record.inflow.count).toBeGreaterThan(5);
  expect(record.warnings.overflows).toBe(0);
});

test("a later run over the same readings leaves the same record", async () => {
  const id = await fillAndStand();
  const record = rig.watch.record();
  rig.watch.recordsChanged({ bucketId: id, fromMs: startMs - 60 * hourMs });
  await rig.watch.settled();
  // What was reopened is closed again with the next hour that is judged.
  const fromMs = startMs - 2 * hourMs;
  commit(rig, cell, filling({ fromMs, hours: 2, flowGPerH: 0, startG: 1000 }));
  await rig.watch.settled();
  const again = rig.watch.record();
  expect(again.reliability[0]?.count).toBeGreaterThanOrEqual(record.reliability[0]?.count ?? 0);
  expect(again.reliability[0]?.wentOver).toBe(record.reliability[0]?.wentOver);
});

test("a warning found in readings of long ago is not taken for one that was told", async () => {
  hang(rig, { label: "Gate", cell, capacityL: 6 });
  const fromMs = startMs - 60 * hourMs;
  commit(rig, cell, filling({ fromMs, hours: 58, flowGPerH: 400, airC: 5 }));
  await rig.watch.settled();
  const { warnings } = rig.watch.record();
  const judged = warnings.useful + warnings.late + warnings.false;
  expect(judged).toBeGreaterThan(0);
  expect(warnings.afterwards).toBe(judged);
});

test("a warning raised as the readings come in counts as told", async () => {
  hang(rig, { label: "Gate", cell, capacityL: 6 });
  for (let hour = 0, hours = 0.25; hour < 44; hour += hours) {
    hours = hour < 15 ? 0.25 : 2;
    const fromMs = startMs + hour * hourMs;
    rig.clock.set(fromMs + hours * hourMs);
    const run = { flowGPerH: hour < 15 ? 400 : 0, startG: Math.min(6000, 400 * hour) };
    commit(rig, cell, filling({ fromMs, hours, airC: 5, ...run }));
    await rig.watch.settled();
  }
  const { warnings } = rig.watch.record();
  expect(warnings.useful + warnings.late + warnings.false).toBeGreaterThan(0);
  expect(warnings.afterwards).toBe(0);
});
