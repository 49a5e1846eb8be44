// What the watch makes of outlooks: they are judged with at once, and held against the air to come.
import { afterEach, beforeEach, expect, it } from "vitest";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, filling, hang, openWatchRig, type WatchRig } from "../../helpers/watch-rig.ts";

const hour = 3_600_000;
const cell = "hill/cell-1";
let rig: WatchRig;

beforeEach(() => {
  rig = openWatchRig();
});

afterEach(() => {
  rig.watch.stop();
  rig.stores.close();
});

it("an outlook that comes in is judged with at once, not at the next reading", async () => {
  const id = hang(rig, { label: "Gate", cell: cell });
  const fromMs = startMs - 4 * hour;
  commit(rig, cell, filling({ fromMs, hours: 4, flowGPerH: 500 }));
  await rig.watch.settled();
  expect(outlookState(id)).toBe("none");
  rig.stores.forecast.put(outlookFrom(startMs));
  rig.watch.outlookChanged();
  await rig.watch.settled();
  expect(outlookState(id)).toBe("used");
});

it("an outlook just heard is held against the air to come; of times gone by nobody knows what was told", async () => {
  hang(rig, { label: "Gate", cell });
  rig.stores.forecast.put(outlookFrom(startMs - 4 * hour));
  commit(rig, cell, filling({ fromMs: startMs - 4 * hour, hours: 4, flowGPerH: 50, airC: 5 }));
  await rig.watch.settled();
  expect(rig.stores.airTold.newestMs()).toBeNull();
  rig.watch.outlookChanged();
  await rig.watch.settled();
  expect(rig.stores.airTold.newestMs()).toBe(startMs);
  rig.clock.advance(hour);
  commit(rig, cell, filling({ fromMs: startMs, hours: 1, flowGPerH: 50, startG: 1000, airC: 5 }));
  rig.watch.outlookChanged();
  await rig.watch.settled();
  expect(rig.stores.airTold.newestMs()).toBe(startMs);
});

function outlookState(id: string): string | null | undefined {
  return rig.watch.yardView().buckets.find((bucket) => bucket.id === id)?.outlook;
}

function outlookFrom(fromMs: number) {
  return Array.from({ length: 48 }, (_, index) => ({
    atMs: fromMs + index * hour,
    airC: 5 + 4 * Math.sin((index / 12) * Math.PI),
    cloudPercent: null,
  }));
}
