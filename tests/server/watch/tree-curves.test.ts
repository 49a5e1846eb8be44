// All trees on one time axis, the hours after a thaw, and the fan ahead, over a real store.
import { expect, it } from "vitest";
import { msPerDay, msPerHour } from "../../../shared/units.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, filling, hang, openWatchRig, type WatchRig } from "../../helpers/watch-rig.ts";

const slotMs = 600_000;
const fromMs = startMs;
const toMs = startMs + 6 * msPerHour;

function slots(rig: WatchRig, bucketId: string, flowGPerH: (atMs: number) => number | undefined) {
  for (let atMs = fromMs + slotMs; atMs <= toMs; atMs += slotMs) {
    const flow = flowGPerH(atMs);
    if (flow === undefined) continue;
    rig.stores.tracks.insertSlot(bucketId, {
      atMs,
      netG: 1000,
      inflowG: flow / 6,
      flowGPerH: flow,
      lowGPerH: flow - 10,
      highGPerH: flow + 10,
      // From -3 Cel up by 2 Cel an hour: it thaws after an hour and a half.
      airC: -3 + (2 * (atMs - fromMs)) / msPerHour,
      full: false,
    });
  }
}

/** A second bucket under the tree of a bucket. */
function hangSecond(rig: WatchRig, label: string, cell: string): string {
  const { taps, buckets } = rig.stores;
  const tap = taps.insert({ treeId: "gate", tappedMs: null });
  const make = { tapIds: [tap.id], capacityL: 10, emptyKg: 0.8, role: "sap" as const };
  const { bucket } = buckets.insert(
    { label, cell, ...make, fromMs: startMs - msPerDay },
    rig.clock.nowMs(),
  );
  rig.watch.recordsChanged({ bucketId: bucket.id, fromMs: 0 });
  return bucket.id;
}

it("a tree's flow is that of all its buckets, and not known where one of them isn't", () => {
  const rig = openWatchRig();
  const first = hang(rig, { label: "Gate", cell: "hill/cell-1" });
  const second = hangSecond(rig, "Gate low", "hill/cell-2");
  slots(rig, first, () => 200);
  slots(rig, second, (atMs) => (atMs <= fromMs + 3 * msPerHour ? 100 : undefined));
  const { atMs, trees, airC, stepMs } = rig.watch.treeCurves({ fromMs, toMs, stepMs: msPerHour });
  expect(stepMs).toBe(msPerHour);
  expect(atMs).toHaveLength(6);
  const [gate] = trees;
  // 0.3 kg of sap of 2 Brix are a little less than 0.3 L.
  expect(gate?.flowLPerH[0]).toBeGreaterThan(0.295);
  expect(gate?.flowLPerH[0]).toBeLessThan(0.3);
  expect(gate?.flowLPerH[5]).toBeNull();
  expect(airC[0]).toBeCloseTo(-3 + (2 * 35) / 60, 2);
});

it("the steps are widened to fit and never finer than the slots", () => {
  const rig = openWatchRig();
  hang(rig, { label: "Gate", cell: "hill/cell-1" });
  const fine = rig.watch.treeCurves({ fromMs, toMs, stepMs: 1000 });
  expect(fine.stepMs).toBe(slotMs);
  const long = rig.watch.treeCurves({ fromMs: fromMs - 200 * msPerDay, toMs, stepMs: slotMs });
  expect(long.atMs.length).toBeLessThanOrEqual(1500);
  expect(long.atMs.at(-1)).toBeGreaterThanOrEqual(toMs);
});

it("after a thaw each tree is told from its own thermometer", () => {
  const rig = openWatchRig();
  const id = hang(rig, { label: "Gate", cell: "hill/cell-1" });
  const thawMs = fromMs + 1.5 * msPerHour;
  slots(rig, id, (atMs) => (atMs > thawMs + msPerHour ? 400 : 0));
  const { hours, trees } = rig.watch.afterThaw({ fromMs, toMs });
  const flowAt = (hour: number) => trees[0]?.flowLPerH[hours.indexOf(hour)];
  expect(trees[0]?.thaws).toBe(1);
  expect(flowAt(0)).toBe(0);
  expect(flowAt(2)).toBeGreaterThan(0.39);
  expect(flowAt(14)).toBeNull();
});

it("the fan begins at what is in the bucket, widens, and never falls", async () => {
  const rig = openWatchRig();
  const id = hang(rig, { label: "Gate", cell: "hill/cell-1", fromMs: startMs - msPerDay });
  const samples = filling({ fromMs: startMs, hours: 6, flowGPerH: 300 });
  rig.clock.advance(startMs + 6 * msPerHour - rig.clock.nowMs());
  commit(rig, "hill/cell-1", samples);
  await rig.watch.settled();
  const { atMs, lowL, midL, highL } = rig.watch.ahead(id);
  expect(atMs).toHaveLength(37);
  expect(lowL[0]).toBe(highL[0]);
  expect(midL[0]).toBeCloseTo(1.8, 1);
  for (const [hour, low] of lowL.entries()) {
    expect(low).toBeGreaterThanOrEqual(lowL[hour - 1] ?? 0);
    expect(low).toBeLessThanOrEqual(midL[hour] ?? Number.NaN);
    expect(midL[hour]).toBeLessThanOrEqual(highL[hour] ?? Number.NaN);
  }
  expect(highL.at(-1)).toBeGreaterThan((lowL.at(-1) ?? 0) + 0.1);
});

it("a bucket that was never heard has nothing ahead", () => {
  const rig = openWatchRig();
  const id = hang(rig, { label: "Gate", cell: "hill/cell-1" });
  expect(rig.watch.ahead(id).atMs).toEqual([]);
});
