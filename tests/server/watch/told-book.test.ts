// Forecasts kept, closed by what was booked, and learnt from: the round through a real store.
import { beforeEach, describe, expect, it } from "vitest";
import { createStores, type Stores } from "../../../server/db/stores.ts";
import { toldShares, uncalibrated } from "../../../server/domain/brim/calibration.ts";
import type { Assessment } from "../../../server/watch/assess.ts";
import { createToldBook } from "../../../server/watch/told-book.ts";

const startMs = Date.UTC(2026, 2, 1);
const hourMs = 3_600_000;
const bucketId = "gate";
const dayMs = 24 * hourMs;
let stores: Stores;

beforeEach(() => {
  stores = createStores(":memory:");
  const make = { tapIds: [], capacityL: 11, emptyKg: 0.8, role: "sap" as const };
  const bucket = { label: "Gate", cell: "hill/cell-1", ...make, sunShare: 1, fromMs: startMs };
  stores.buckets.insert(bucket, startMs);
});

function slots(
  fromMs: number,
  untilMs: number,
  changes: { full?: boolean; airC?: number } = {},
): void {
  for (let atMs = fromMs + 600_000; atMs <= untilMs; atMs += 600_000) {
    const flow = { netG: 3000, inflowG: 50, flowGPerH: 300, lowGPerH: 280, highGPerH: 320 };
    stores.tracks.insertSlot(bucketId, { atMs, ...flow, full: false, ...changes });
  }
}

function assessed(atMs: number, toldG = 1000): Assessment {
  const told = [12, 24].map((leadH) => ({
    leadH,
    toldG: toldShares.map((share) => Math.round((leadH / 12) * toldG * (0.8 + 0.4 * share))),
    capacityG: 11_000,
  }));
  const rest = { said: null, decision: null, keeping: null, keepingMissing: null, fault: null };
  return { atMs, told, outlook: "none", ...rest };
}

const closed = () => stores.told.listClosed({ hasOutlook: false, sinceMs: 0 });

describe("told book", () => {
  it("keeps one forecast in three hours and books what came when its time is over", () => {
    const book = createToldBook(stores);
    for (const minutes of [0, 5, 60, 179, 180]) {
      book.keep(bucketId, assessed(startMs + minutes * 60_000));
    }
    slots(startMs, startMs + 30 * hourMs);
    stores.told.closeUntil(startMs + 16 * hourMs);
    expect(closed().map(({ atMs, cameG }) => [atMs - startMs, cameG])).toEqual([
      [0, 12 * 300],
      [3 * hourMs, 12 * 300],
    ]);
    stores.told.closeUntil(startMs + 28 * hourMs);
    expect(closed()).toHaveLength(4);
    expect(stores.told.listClosed({ hasOutlook: true, sinceMs: 0 })).toEqual([]);
  });

  it("learns nothing from hours that were not weighed", () => {
    const book = createToldBook(stores);
    book.keep(bucketId, assessed(startMs));
    slots(startMs, startMs + 10 * hourMs);
    slots(startMs + 11 * hourMs, startMs + 28 * hourMs);
    stores.told.closeUntil(startMs + 40 * hourMs);
    expect(closed()).toEqual([]);
  });

  it("knows of hours at the rim that more came than was weighed", () => {
    const book = createToldBook(stores);
    book.keep(bucketId, assessed(startMs));
    slots(startMs, startMs + 13 * hourMs);
    slots(startMs + 13 * hourMs, startMs + 14 * hourMs, { full: true });
    slots(startMs + 14 * hourMs, startMs + 28 * hourMs);
    stores.told.closeUntil(startMs + 40 * hourMs);
    expect(closed().map(({ leadH, cameG, ranOver }) => [leadH, cameG, ranOver])).toEqual([
      [12, 12 * 300, false],
      [24, 24 * 300, true],
    ]);
  });

  it("keeps the air of one new outlook in six hours, and learns from what came how wrong they are", () => {
    const book = createToldBook(stores);
    slots(startMs - dayMs, startMs + 30 * dayMs, { airC: 3 });
    const flat = (atMs: number, airC: number) =>
      Array.from({ length: 40 }, (_, hour) => ({ atMs: atMs + hour * hourMs, airC }));
    for (let hour = 0; hour < 24 * 24; hour += 1) {
      const atMs = startMs + hour * hourMs;
      // As it is now, and 6 K too warm from twelve hours on.
      const outlook = flat(atMs, 3).map((point, ahead) =>
        ahead < 12 ? point : { ...point, airC: 9 },
      );
      book.keepAir(bucketId, { atMs, airC: 3, outlook });
    }
    const count = () => stores.airTold.listClosed(0).length;
    const { airScale } = book.calibration(startMs + 26 * dayMs, true);
    expect(count()).toBe(24 * 4 * 6);
    expect(airScale[0]).toBeLessThan(1);
    for (const scale of airScale.slice(1)) expect(scale).toBeGreaterThan(2);
    expect(book.calibration(startMs + 26 * dayMs, false).airScale).toEqual(uncalibrated.airScale);
    expect(createToldBook(stores).calibration(startMs + 26 * dayMs, true).airScale).toEqual(
      airScale,
    );
  });

  it("books the air once the half hour after its time is over, not before", () => {
    stores.airTold.put({ bucketId, atMs: startMs, leadH: 6, toldC: 5 });
    stores.airTold.closeUntil(startMs + 6 * hourMs);
    slots(startMs, startMs + 7 * hourMs, { airC: 3 });
    expect(stores.airTold.listClosed(0)).toEqual([]);
    stores.airTold.closeUntil(startMs + 6.5 * hourMs);
    expect(stores.airTold.listClosed(0)).toEqual([{ atMs: startMs, leadH: 6, toldC: 5, cameC: 3 }]);
  });

  it("widens and emboldens after days that brought more than told, the same after a restart", () => {
    const book = createToldBook(stores);
    expect(book.calibration(startMs, false)).toEqual(uncalibrated);
    slots(startMs, startMs + 16 * dayMs);
    for (let atMs = startMs; atMs < startMs + 15 * dayMs; atMs += 3 * hourMs) {
      book.keep(bucketId, assessed(atMs));
    }
    const learnt = book.calibration(startMs + 17 * dayMs, false);
    expect(learnt.pathLogSd).toBeGreaterThan(0.5);
    for (const { shift } of learnt.boldness) expect(shift).toBeGreaterThan(0);
    expect(book.calibration(startMs + 17 * dayMs, true)).toEqual(uncalibrated);
    expect(createToldBook(stores).calibration(startMs + 17 * dayMs, false)).toEqual(learnt);
  });
});
