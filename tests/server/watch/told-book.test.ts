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

function slots(fromMs: number, untilMs: number, changes: { full?: boolean } = {}): void {
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
