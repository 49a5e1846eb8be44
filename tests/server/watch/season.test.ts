// The hints of the season's end through the watch: days of frost and thaw are counted as they are weighed.
import { afterEach, beforeEach, expect, test } from "vitest";
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

test("days of frost and thaw are told as soon as they were weighed", async () => {
  expect(rig.watch.seasonHints()).toMatchObject({ frostThawDays: 0, hints: [] });
  hang(rig, { label: "Gate", cell, capacityL: 15 });
  // Local midnight of Toronto, four days of 12 h frost and 12 h thaw.
  const fromMs = Date.UTC(2026, 2, 10, 4);
  for (let half = 0; half < 8; half += 1) {
    const isDay = half % 2 === 1;
    const span = { fromMs: fromMs + half * 12 * hourMs, hours: 12, airC: isDay ? 6 : -5 };
    commit(rig, cell, filling({ ...span, flowGPerH: isDay ? 100 : 0 }));
  }
  await rig.watch.settled();
  expect(fromMs + 96 * hourMs).toBeLessThan(startMs);
  expect(rig.watch.seasonHints()).toMatchObject({ frostThawDays: 4, hints: [] });
});
