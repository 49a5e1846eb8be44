// Slots of a bucket, one by one and as the steps of a curve.
import { afterEach, beforeEach, expect, it } from "vitest";
import { createStores, type Stores } from "../../../server/db/stores.ts";
import type { Slot } from "../../../server/domain/bucket.ts";

const slotMs = 600_000;
const fromMs = Date.UTC(2026, 2, 1);
let stores: Stores;

beforeEach(() => {
  stores = createStores(":memory:");
  const make = { cell: null, tapIds: [], capacityL: 10, emptyKg: 1, role: "sap" as const };
  stores.buckets.insert({ label: "Gate", ...make, fromMs }, fromMs);
});

afterEach(() => stores.close());

function slot(index: number, over: Partial<Slot> = {}): Slot {
  return {
    atMs: fromMs + index * slotMs,
    netG: index * 100,
    inflowG: 100,
    flowGPerH: index * 10,
    lowGPerH: index * 9,
    highGPerH: index * 11,
    airC: index,
    full: false,
    ...over,
  };
}

it("a step of a curve has the means of its slots, and the mass and time of its last", () => {
  for (let index = 1; index <= 12; index += 1) stores.tracks.insertSlot("gate", slot(index));
  const groups = stores.tracks.listSlotGroups({
    bucketId: "gate",
    fromMs,
    toMs: fromMs + 12 * slotMs,
    stepMs: 6 * slotMs,
  });
  expect(groups).toEqual([
    {
      atMs: fromMs + 6 * slotMs,
      netG: 600,
      flowGPerH: 35,
      lowGPerH: 31.5,
      highGPerH: 38.5,
      airC: 3.5,
    },
    {
      atMs: fromMs + 12 * slotMs,
      netG: 1200,
      flowGPerH: 95,
      lowGPerH: 85.5,
      highGPerH: 104.5,
      airC: 9.5,
    },
  ]);
});

it("an unknown air temperature counts in no mean, and none at all is null", () => {
  const { airC: _, ...noAir } = slot(1);
  stores.tracks.insertSlot("gate", noAir);
  stores.tracks.insertSlot("gate", slot(2, { airC: 8 }));
  const span = { bucketId: "gate", fromMs, toMs: fromMs + 2 * slotMs };
  expect(stores.tracks.listSlotGroups({ ...span, stepMs: 2 * slotMs })[0]?.airC).toBe(8);
  expect(stores.tracks.listSlotGroups({ ...span, stepMs: slotMs })[0]?.airC).toBeNull();
});

it("a slot comes back as it was kept, and again only once", () => {
  stores.tracks.insertSlot("gate", slot(3, { full: true }));
  stores.tracks.insertSlot("gate", slot(3, { full: true }));
  expect(stores.tracks.listSlots("gate", fromMs, fromMs + 3 * slotMs)).toEqual([
    slot(3, { full: true }),
  ]);
});
