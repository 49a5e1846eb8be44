// Rain across the buckets of a yard: kept out of the sap, told on the page, the same after a restart and late readings.
import { afterEach, describe, expect, it } from "vitest";
import type { BucketView } from "../../../shared/wire/api.ts";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, hang, openWatchRig, type Sample, type WatchRig } from "../../helpers/watch-rig.ts";

const hourMs = 3_600_000;
const readingMs = 60_000;
const days = 3;
const fromMs = Math.floor((startMs - days * 24 * hourMs) / hourMs) * hourMs;
const vigours = [0.5, 0.7, 0.85, 1, 1.2, 1.4, 1.7];
const rigs: WatchRig[] = [];

afterEach(() => {
  for (const { watch, stores } of rigs.splice(0)) {
    watch.stop();
    stores.close();
  }
});

function openRig(folder?: string): WatchRig {
  const rig = openWatchRig(folder);
  rigs.push(rig);
  return rig;
}

/** Two days of sap from 10 to 16 h, then a night of rain and another shower into every bucket alike. */
function samplesOf(vigour: number, seed: number): Sample[] {
  const random = createRandom(seed);
  let netG = 0;
  return Array.from({ length: (days * 24 * hourMs) / readingMs }, (_, index) => {
    const hour = (index * readingMs) / hourMs;
    const ofDay = hour % 24;
    const sapGPerH = ofDay > 10 && ofDay < 16 && hour < 48 ? 300 * vigour : 0;
    netG += ((sapGPerH + rainGPerH(hour)) * readingMs) / hourMs;
    return { atMs: fromMs + index * readingMs, massG: 800 + netG + 3 * random.gaussian(), airC: 6 };
  });
}

function rainGPerH(hour: number): number {
  return (hour > 54 && hour < 60) || hour > 70 ? 90 : 0;
}

const cellOf = (place: number) => `hill/cell-${place + 1}`;

async function feed(rig: WatchRig, skip: (place: number, sample: Sample) => boolean = () => false) {
  for (const [place, vigour] of vigours.entries()) {
    const samples = samplesOf(vigour, place + 1).filter((sample) => !skip(place, sample));
    commit(rig, cellOf(place), samples);
  }
  await rig.watch.settled();
}

function yard(rig: WatchRig): string[] {
  return vigours.map((_, place) =>
    hang(rig, { label: `Tree ${place}`, cell: cellOf(place), capacityL: 20, fromMs }),
  );
}

function derived(rig: WatchRig) {
  const list = (sql: string) => rig.stores.sqlite.prepare(sql).all();
  return {
    wet: list("SELECT * FROM wet ORDER BY 1, 2"),
    days: list("SELECT * FROM day ORDER BY 1, 2"),
    due: list("SELECT * FROM wet_due"),
  };
}

function bucketOf(rig: WatchRig, id: string): BucketView {
  return rig.watch.yardView().buckets.find((bucket) => bucket.id === id)!;
}

describe("a night of rain into seven buckets", () => {
  it("is in no tree's sap, and stands beside it on the page", async () => {
    const rig = openRig();
    const ids = yard(rig);
    await feed(rig);
    const rows = rig.stores.tracks.listDays("2000-01-01", "2100-01-01");
    const rainOf = (id: string) =>
      rows.filter(({ bucketId }) => bucketId === id).reduce((sum, { rainG }) => sum + rainG, 0);
    const sapOf = (id: string) =>
      rows.filter(({ bucketId }) => bucketId === id).reduce((sum, { inflowG }) => sum + inflowG, 0);
    for (const [place, id] of ids.entries()) {
      expect(Math.abs(rainOf(id) - 720)).toBeLessThan(110);
      expect(Math.abs(sapOf(id) - 2 * 6 * 300 * vigours[place]!)).toBeLessThan(110);
      expect(Math.abs(bucketOf(rig, id).wet.rainL - 0.72)).toBeLessThan(0.11);
    }
  });

  it("of days gone by leaves today's sap in its place", async () => {
    const rig = openRig();
    const ids = yard(rig);
    await feed(rig, (_, { atMs }) => atMs > fromMs + 69 * hourMs);
    for (const id of ids) expect(bucketOf(rig, id).todayL).not.toBeNull();
  });

  it("is told while it falls, and no bucket is said to run", async () => {
    const rig = openRig();
    const ids = yard(rig);
    await feed(rig);
    for (const id of ids) {
      const bucket = bucketOf(rig, id);
      expect(bucket.wet.falling).toBe("rain");
      expect(bucket.flowLPerH!).toBeLessThan(0.03);
      expect(bucket.state).not.toBe("running");
    }
  });

  it("comes out the same however late one bucket's readings come, and after a restart", async () => {
    const whole = openRig();
    yard(whole);
    await feed(whole);
    const inTime = derived(whole);
    expect(inTime.wet.length).toBeGreaterThan(60);
    expect(inTime.due).toEqual([]);

    const late = openRig();
    yard(late);
    const isLate = (place: number, { atMs }: Sample) =>
      place < 3 && atMs > fromMs + 30 * hourMs && atMs < fromMs + 57 * hourMs;
    await feed(late, isLate);
    expect(derived(late).wet).not.toEqual(inTime.wet);
    await feed(late, (place, sample) => !isLate(place, sample));
    expect(derived(late)).toEqual(inTime);
  });
});

describe("a control bucket", () => {
  it("tells the rain for two trees that could not tell it themselves", async () => {
    const rig = openRig();
    const ids = [0, 1].map((place) =>
      hang(rig, { label: `Tree ${place}`, cell: cellOf(place), capacityL: 20, fromMs }),
    );
    const control = hang(rig, { label: "Post", cell: "hill/cell-9", capacityL: 20, fromMs });
    for (const place of [0, 1]) commit(rig, cellOf(place), samplesOf(1, place + 1));
    commit(rig, "hill/cell-9", samplesOf(0, 9));
    await rig.watch.settled();
    expect(derived(rig).wet).toEqual([]);

    rig.stores.buckets.update(control, { role: "control" }, rig.clock.nowMs());
    rig.watch.recordsChanged();
    await rig.watch.settled();
    for (const id of ids) expect(Math.abs(bucketOf(rig, id).wet.rainL - 0.72)).toBeLessThan(0.11);
    expect(bucketOf(rig, control).wet.rainL).toBe(0);
  });
});
