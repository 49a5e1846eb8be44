// The watch from committed readings to what the page, the alarms topic and the notices say.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import type { BucketView } from "../../../shared/wire/api.ts";
import { yardViewSchema } from "../../../shared/wire/api.ts";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import {
  commit,
  derived,
  filling,
  hang,
  openWatchRig,
  type Sample,
  type WatchRig,
} from "../../helpers/watch-rig.ts";

const hour = 3_600_000;
const rigs: WatchRig[] = [];
const folders: string[] = [];

function openRig(folder?: string): WatchRig {
  const rig = openWatchRig(folder);
  rigs.push(rig);
  return rig;
}

function makeFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "brimful-watch-"));
  folders.push(folder);
  return folder;
}

afterEach(() => {
  for (const { watch, stores } of rigs.splice(0)) {
    watch.stop();
    stores.close();
  }
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
});

function bucketOf(rig: WatchRig, id: string): BucketView {
  const found = rig.watch.yardView().buckets.find((bucket) => bucket.id === id);
  if (found === undefined) throw new Error(`view requires bucket ${id}, got none`);
  return found;
}

/** Two days: fills, is emptied at hour 20, fills again. */
function twoDays(fromMs: number): Sample[] {
  const random = createRandom(5);
  const noise = random.gaussian;
  const first = filling({ fromMs, hours: 20, flowGPerH: 300, noise });
  const lifted = filling({ fromMs: fromMs + 20 * hour, hours: 0.03, flowGPerH: 0, noise }).map(
    (sample) => ({ ...sample, massG: 4 * noise() }),
  );
  const second = filling({
    fromMs: fromMs + 20.05 * hour,
    hours: 27,
    flowGPerH: 200,
    startG: 60,
    noise,
  });
  return [...first, ...lifted, ...second];
}

it("shows level, litres and flow of a bucket that fills", async () => {
  const rig = openRig();
  const id = hang(rig, { label: "Gate", cell: "hill/cell-1" });
  const random = createRandom(3);
  const from = startMs - 4 * hour;
  commit(
    rig,
    "hill/cell-1",
    filling({ fromMs: from, hours: 4, flowGPerH: 500, noise: random.gaussian }),
  );
  await rig.watch.settled();
  const view = bucketOf(rig, id);
  expect(yardViewSchema.parse(rig.watch.yardView()).buckets).toHaveLength(1);
  expect(view.volumeL).toBeGreaterThan(1.94);
  expect(view.volumeL).toBeLessThan(2.03);
  expect(view.flowLPerH).toBeGreaterThan(0.45);
  expect(view.flowLPerH).toBeLessThan(0.55);
  expect(view.state).toBe("running");
  expect(view.tree?.label).toBe("Gate");
  expect(view.keeping?.sapTempC).toBeGreaterThan(0);
});

it("raises brim before the bucket goes over, says so on its topic, and clears it when it is emptied", async () => {
  const rig = openRig();
  const id = hang(rig, { label: "Well", cell: "hill/cell-2", capacityL: 8 });
  const from = startMs - 6 * hour;
  commit(rig, "hill/cell-2", filling({ fromMs: from, hours: 6, flowGPerH: 1100 }));
  await rig.watch.settled();
  const view = bucketOf(rig, id);
  expect(view.fullFraction).toBeLessThan(1);
  expect(view.alarms).toContain("brim");
  expect(rig.notes.get(id)?.kinds).toContain("brim");
  expect(rig.watch.yardView().doNow.sentence).toMatch(/^Gather Well/);

  const lifted = Array.from({ length: 3 }, (_, index) => ({
    atMs: startMs + index * 30_000,
    massG: 5,
    airC: 6,
  }));
  const hungBack = filling({ fromMs: startMs + 100_000, hours: 0.5, flowGPerH: 100, startG: 50 });
  rig.clock.advance(0.6 * hour);
  commit(rig, "hill/cell-2", [...lifted, ...hungBack]);
  await rig.watch.settled();
  expect(bucketOf(rig, id).alarms).toEqual([]);
  expect(rig.notes.get(id)).toBeUndefined();
  const [gathering] = rig.stores.gatherings.list({ fromMs: 0, toMs: startMs + hour });
  expect(gathering?.volumeL).toBeGreaterThan(6.3);
  expect(gathering?.volumeL).toBeLessThan(6.7);
});

it("gives after a restart the same numbers as without one", async () => {
  const samples = twoDays(startMs - 48 * hour);
  const whole = openRig();
  hang(whole, { label: "Gate", cell: "hill/cell-1" });
  commit(whole, "hill/cell-1", samples);
  await whole.watch.settled();

  const folder = makeFolder();
  const before = openWatchRig(folder);
  hang(before, { label: "Gate", cell: "hill/cell-1" });
  const half = samples.length / 2;
  commit(before, "hill/cell-1", samples.slice(0, half));
  await before.watch.settled();
  before.watch.stop();
  before.stores.close();
  const after = openRig(folder);
  after.watch.start();
  commit(after, "hill/cell-1", samples.slice(half));
  await after.watch.settled();

  expect(derived(after)).toEqual(derived(whole));
  expect(derived(whole).gatherings).toHaveLength(1);
  expect(bucketOf(after, "gate")).toEqual(bucketOf(whole, "gate"));
});

it("goes through all that is stored again when it was reckoned in another way before", async () => {
  const samples = twoDays(startMs - 48 * hour);
  const whole = openRig();
  hang(whole, { label: "Gate", cell: "hill/cell-1" });
  commit(whole, "hill/cell-1", samples);
  await whole.watch.settled();

  const folder = makeFolder();
  const before = openWatchRig(folder);
  hang(before, { label: "Gate", cell: "hill/cell-1" });
  commit(before, "hill/cell-1", samples);
  await before.watch.settled();
  const { sqlite } = before.stores;
  sqlite.exec(
    `UPDATE checkpoint SET track = '{"flow":{"modes":null}}'; UPDATE event SET mass_dg = 1`,
  );
  before.watch.stop();
  before.stores.close();
  const after = openRig(folder);
  after.watch.start();
  await after.watch.settled();

  expect(derived(after)).toEqual(derived(whole));
  expect(bucketOf(after, "gate")).toEqual(bucketOf(whole, "gate"));
});

it("gives with late and shuffled readings the same numbers as in order", async () => {
  const samples = twoDays(startMs - 48 * hour);
  const inOrder = openRig();
  hang(inOrder, { label: "Gate", cell: "hill/cell-1" });
  commit(inOrder, "hill/cell-1", samples);
  await inOrder.watch.settled();

  const shuffled = openRig();
  hang(shuffled, { label: "Gate", cell: "hill/cell-1" });
  const pieces = Array.from({ length: 8 }, (_, index) => {
    const size = Math.ceil(samples.length / 8);
    return samples.slice(index * size, (index + 1) * size);
  });
  for (const index of [0, 2, 1, 3, 5, 6, 4, 7]) {
    commit(shuffled, "hill/cell-1", pieces[index] ?? []);
    await shuffled.watch.settled();
  }
  expect(derived(shuffled)).toEqual(derived(inOrder));
});

it("gives the same numbers from commits that come thick and fast", async () => {
  const samples = twoDays(startMs - 48 * hour);
  const inOne = openRig();
  hang(inOne, { label: "Gate", cell: "hill/cell-1" });
  commit(inOne, "hill/cell-1", samples);
  await inOne.watch.settled();

  const streamed = openRig();
  hang(streamed, { label: "Gate", cell: "hill/cell-1" });
  for (let first = 0; first < samples.length; first += 20) {
    commit(streamed, "hill/cell-1", samples.slice(first, first + 20));
    await new Promise((resolve) => setImmediate(resolve));
  }
  await streamed.watch.settled();
  expect(derived(streamed)).toEqual(derived(inOne));
  expect(bucketOf(streamed, "gate")).toEqual(bucketOf(inOne, "gate"));
});

it("a temperature that comes after the weights of its time changes what they meant", async () => {
  const samples = twoDays(startMs - 48 * hour);
  const together = openRig();
  hang(together, { label: "Gate", cell: "hill/cell-1" });
  commit(together, "hill/cell-1", samples);
  await together.watch.settled();

  const apart = openRig();
  hang(apart, { label: "Gate", cell: "hill/cell-1" });
  commit(
    apart,
    "hill/cell-1",
    samples.map(({ atMs, massG }) => ({ atMs, massG })),
  );
  await apart.watch.settled();
  expect(derived(apart)).not.toEqual(derived(together));
  commit(apart, "hill/cell-1", samples);
  await apart.watch.settled();
  expect(derived(apart)).toEqual(derived(together));
});

it("never sends a notice for what a backlog tells of the past", async () => {
  const rig = openRig();
  hang(rig, { label: "Well", cell: "hill/cell-2", capacityL: 8 });
  rig.watch.start();
  const from = startMs - 60 * hour;
  const backlog = [
    ...filling({ fromMs: from, hours: 7.5, flowGPerH: 1100 }),
    ...filling({ fromMs: from + 8 * hour, hours: 51.9, flowGPerH: 0, startG: 40 }),
  ];
  commit(rig, "hill/cell-2", backlog);
  await rig.watch.settled();
  const raised = rig.stores.alarms.list({ fromMs: 0, toMs: startMs });
  expect(raised.map(({ kind }) => kind)).toContain("brim");
  await new Promise((resolve) => setTimeout(resolve, 1200));
  expect(rig.notices).toEqual([]);
});

it("sends one notice for an episode that is now", async () => {
  const rig = openRig();
  hang(rig, { label: "Well", cell: "hill/cell-2", capacityL: 8 });
  rig.watch.start();
  commit(rig, "hill/cell-2", filling({ fromMs: startMs - 6 * hour, hours: 6, flowGPerH: 1100 }));
  await rig.watch.settled();
  await expect.poll(() => rig.notices.length, { timeout: 4000 }).toBeGreaterThan(0);
  await new Promise((resolve) => setTimeout(resolve, 1100));
  expect(rig.notices.filter(({ kind }) => kind === "brim")).toHaveLength(1);
  expect(rig.notices[0]?.text).toMatch(/^Well/);
});

it("a new empty weight holds from its time on and leaves the past as it was", async () => {
  const rig = openRig();
  const id = hang(rig, { label: "Gate", cell: "hill/cell-1" });
  const from = startMs - 24 * hour;
  commit(rig, "hill/cell-1", filling({ fromMs: from, hours: 24, flowGPerH: 100 }));
  await rig.watch.settled();
  const slotsBefore = derived(rig).slots;
  const change = rig.stores.buckets.update(id, { emptyKg: 1.8 }, startMs);
  rig.watch.recordsChanged({ bucketId: id, fromMs: change.againFromMs ?? 0 });
  await rig.watch.settled();
  expect(derived(rig).slots).toEqual(slotsBefore);
  rig.clock.advance(hour);
  commit(rig, "hill/cell-1", filling({ fromMs: startMs, hours: 1, flowGPerH: 100, startG: 2400 }));
  await rig.watch.settled();
  expect(bucketOf(rig, id).volumeL).toBeCloseTo(1.5 / 1.0079, 1);
});
