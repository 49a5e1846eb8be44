// Vessels from what the cells saw: they fill by themselves, and a late reading or a correction changes them whole.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import type { YardChange } from "../../../shared/wire/live.ts";
import type { VesselView } from "../../../shared/wire/vessels.ts";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import {
  commit,
  filling,
  hang,
  openWatchRig,
  type Sample,
  type WatchRig,
} from "../../helpers/watch-rig.ts";

const hourMs = 3_600_000;
const cell = "hill/cell-1";
const rigs: WatchRig[] = [];

function openRig(folder?: string): WatchRig {
  const rig = openWatchRig(folder);
  rigs.push(rig);
  return rig;
}

afterEach(() => {
  for (const { watch, stores } of rigs.splice(0)) {
    watch.stop();
    stores.close();
  }
});

function addVessel(rig: WatchRig, over: { capacityL?: number; label?: string } = {}): void {
  const fromMs = startMs - 5 * 24 * hourMs;
  const vessel = { label: "Barrel", capacityL: 60, place: "shade" as const, probe: null, ...over };
  rig.stores.vessels.insert({ ...vessel, fromMs }, fromMs);
  rig.watch.vesselsChanged();
}

function vesselOf(rig: WatchRig): VesselView {
  const [vessel] = rig.watch.yardView().vessels;
  if (vessel === undefined) throw new Error("view requires a vessel, got none");
  return vessel;
}

/** Fills for ten hours at 600 g/h and is emptied to 60 g, two hours before now. */
function emptiedOnce(airC = 6): Sample[] {
  const { gaussian: noise } = createRandom(5);
  const fromMs = startMs - 12 * hourMs;
  const full = filling({ fromMs, hours: 10, flowGPerH: 600, airC, noise });
  const lifted = filling({ fromMs: fromMs + 10 * hourMs, hours: 0.03, flowGPerH: 0, airC }).map(
    (sample) => ({ ...sample, massG: 4 * noise() }),
  );
  const rest = filling({
    fromMs: fromMs + 10.05 * hourMs,
    hours: 1.95,
    flowGPerH: 300,
    startG: 60,
    airC,
    noise,
  });
  return [...full, ...lifted, ...rest];
}

it("what a cell saw gathered is in the vessel, with its tree, its time and its keeping", async () => {
  const rig = openRig();
  const id = hang(rig, { label: "Gate", cell });
  addVessel(rig);
  const told: YardChange[] = [];
  rig.watch.onChange((change) => told.push(change));
  commit(rig, cell, emptiedOnce());
  await rig.watch.settled();
  const vessel = vesselOf(rig);
  const [gathering] = rig.stores.gatherings.list({ fromMs: 0, toMs: startMs });
  expect(vessel.volumeL).toBeCloseTo(gathering!.volumeL, 3);
  expect(vessel.volumeL).toBeGreaterThan(5.7);
  expect(vessel.shares).toEqual([{ treeId: "gate", label: "Gate", volumeL: vessel.volumeL }]);
  expect(vessel).toMatchObject({
    sinceMs: gathering!.atMs,
    dirty: true,
    filling: true,
    alarms: [],
  });
  expect(vessel.tempC).toBeGreaterThan(3);
  expect(vessel.keeping?.spentFraction).toBeGreaterThan(0);
  expect(vessel.keeping?.boilByMs).toBeGreaterThan(startMs);
  expect(rig.watch.vesselLines("barrel")).toMatchObject([{ kind: "gathering", bucketId: id }]);
  await expect
    .poll(() => told.some(({ vessels }) => vessels?.[0]?.volumeL === vessel.volumeL))
    .toBe(true);
});

it("is the same whether readings came in order, late or twice", async () => {
  const straight = openRig();
  const late = openRig();
  for (const rig of [straight, late]) {
    hang(rig, { label: "Gate", cell });
    addVessel(rig);
  }
  const samples = emptiedOnce();
  commit(straight, cell, samples);
  const [before, after] = [samples.slice(0, 900), samples.slice(900)];
  commit(late, cell, after);
  await late.watch.settled();
  commit(late, cell, before);
  commit(late, cell, before);
  await Promise.all([straight.watch.settled(), late.watch.settled()]);
  expect(vesselOf(late)).toEqual(vesselOf(straight));
  expect(vesselOf(late).volumeL).toBeGreaterThan(5);
});

it("a corrected or struck gathering changes what is in and what was poured away", async () => {
  const rig = openRig();
  hang(rig, { label: "Gate", cell });
  addVessel(rig);
  commit(rig, cell, emptiedOnce());
  await rig.watch.settled();
  const [gathering] = rig.stores.gatherings.list({ fromMs: 0, toMs: startMs });
  rig.stores.gatherings.update(gathering!.id, { volumeL: 8 });
  rig.watch.recordsChanged();
  expect(vesselOf(rig).volumeL).toBe(8);
  const pour = { kind: "boil", intoVesselId: null, volumeL: null, note: null } as const;
  rig.stores.pours.insert({ ...pour, vesselId: "barrel", atMs: startMs });
  rig.watch.vesselsChanged();
  expect(vesselOf(rig).volumeL).toBe(0);
  expect(rig.watch.vesselLines("barrel")[0]).toMatchObject({ kind: "boil", volumeL: 8 });
  rig.stores.gatherings.update(gathering!.id, { struck: true });
  rig.watch.recordsChanged();
  expect(rig.watch.vesselLines("barrel")).toMatchObject([{ kind: "boil", volumeL: 0 }]);
});

it("raises a vessel alarm when it is full, says so in the sentence when its sap is old, and clears it", async () => {
  const rig = openRig();
  hang(rig, { label: "Gate", cell, capacityL: 20 });
  addVessel(rig, { capacityL: 6 });
  commit(rig, cell, emptiedOnce(19));
  await rig.watch.settled();
  rig.watch.start();
  await expect.poll(() => rig.watch.yardView().alarms.map(({ kind }) => kind)).toContain("vessel");
  expect(vesselOf(rig).alarms).toEqual(["vessel"]);
  const [alarm] = rig.watch.yardView().alarms.filter(({ kind }) => kind === "vessel");
  expect(alarm).toMatchObject({ subject: "vessel/barrel" });
  expect(alarm?.text).toContain("Barrel");
  expect(rig.watch.yardView().doNow.sentence).toMatch(/boil the .* in Barrel (by|now)/i);
  const pour = { kind: "boil", intoVesselId: null, volumeL: null, note: null } as const;
  rig.stores.pours.insert({ ...pour, vesselId: "barrel", atMs: startMs });
  rig.watch.vesselsChanged();
  await expect
    .poll(() => rig.watch.yardView().alarms.map(({ kind }) => kind))
    .not.toContain("vessel");
});

it("an alarm of a vessel that was taken away just before a restart is cleared", async () => {
  const folder = mkdtempSync(join(tmpdir(), "brimful-vessels-"));
  const before = openRig(folder);
  hang(before, { label: "Gate", cell, capacityL: 20 });
  addVessel(before, { capacityL: 6 });
  commit(before, cell, emptiedOnce(19));
  await before.watch.settled();
  before.watch.start();
  const kinds = (rig: WatchRig) => rig.watch.yardView().alarms.map(({ kind }) => kind);
  await expect.poll(() => kinds(before)).toContain("vessel");
  before.watch.stop();
  before.stores.vessels.remove("barrel");
  before.stores.close();
  const after = openRig(folder);
  rigs.splice(rigs.indexOf(before), 1);
  after.watch.start();
  await after.watch.settled();
  await expect.poll(() => kinds(after)).not.toContain("vessel");
  expect(after.stores.alarms.listOpen().map(({ kind }) => kind)).not.toContain("vessel");
  rmSync(folder, { recursive: true });
});

it("the next round is planned from what the cells see, into the vessel being filled, by the sketch", async () => {
  const rig = openRig();
  hang(rig, { label: "Gate", cell });
  hang(rig, { label: "Well", cell: "hill/cell-2", capacityL: 8 });
  addVessel(rig, { capacityL: 40 });
  rig.stores.rounds.putPlaces([
    { place: "home", xM: 0, yM: 0 },
    { place: "tree/gate", xM: 30, yM: 40 },
  ]);
  const fromMs = startMs - 12 * hourMs;
  for (const each of [cell, "hill/cell-2"]) {
    commit(rig, each, filling({ fromMs, hours: 12, flowGPerH: 600 }));
  }
  await rig.watch.settled();
  const round = rig.watch.nextRound();
  const stops = round.trips.flatMap((trip) => trip.stops);
  expect(stops.map(({ bucketId }) => bucketId).sort()).toEqual(["gate", "well"]);
  expect(round.vessel).toEqual({ vesselId: "barrel", label: "Barrel", freeL: 40 });
  expect(round.volumeL).toBeGreaterThan(13.5);
  // Nobody said where the well's tree stands.
  expect(round.guessedDistances).toBe(true);
  for (const { loadKg } of round.trips) expect(loadKg).toBeLessThanOrEqual(16);
});

it("a bucket without a cell is guessed by what ran into the others since it was hung or emptied", async () => {
  const rig = openRig();
  hang(rig, { label: "Gate", cell });
  commit(rig, cell, filling({ fromMs: startMs - 12 * hourMs, hours: 12, flowGPerH: 600 }));
  await rig.watch.settled();
  const { trees, taps, buckets, gatherings } = rig.stores;
  const tree = trees.insert({ label: "Fence", species: null, girthCm: null, note: null });
  const tap = taps.insert({ treeId: tree.id, tappedMs: null });
  const fence = { label: "Fence", tapIds: [tap.id], cell: null, capacityL: 12, emptyKg: 1 };
  const { bucket } = buckets.insert(
    { ...fence, role: "sap", fromMs: startMs - 5 * hourMs },
    startMs,
  );
  rig.watch.recordsChanged();
  await rig.watch.settled();
  const guessedL = () =>
    rig.watch
      .nextRound()
      .trips.flatMap(({ stops }) => stops)
      .find(({ bucketId }) => bucketId === bucket.id)?.volumeL;
  expect(guessedL()).toBeCloseTo(3, 0);
  gatherings.insert({ bucketId: bucket.id, atMs: startMs - 2 * hourMs, volumeL: 2, note: null });
  expect(guessedL() ?? 0).toBeLessThan(1.5);
});

it("a probe in its sap says how warm it is, once it is heard and while it is", async () => {
  const rig = openRig();
  hang(rig, { label: "Gate", cell });
  addVessel(rig);
  commit(rig, cell, emptiedOnce());
  await rig.watch.settled();
  const byAir = vesselOf(rig);
  expect(byAir.tempFrom).toBe("place");
  const { boards, readings, vessels } = rig.stores;
  const probeKey = boards.probeKey({ board: "hill", name: "barrel", atMs: startMs });
  readings.insertTemperature({ probeKey, atMs: startMs - 600_000, tempC: 11.5 });
  vessels.update("barrel", { probe: "hill/barrel", fromMs: startMs - 5 * hourMs }, startMs);
  rig.watch.vesselsChanged();
  expect(vesselOf(rig)).toMatchObject({ tempFrom: "probe" });
  expect(vesselOf(rig).tempC).toBeCloseTo(11.5, 0);
  expect(vesselOf(rig).keeping?.boilByMs).toBeLessThan(byAir.keeping?.boilByMs ?? 0);
  rig.clock.advance(4 * hourMs);
  expect(vesselOf(rig).tempFrom).toBe("place");
});
