// The kept forecasts: one an hour, closed once, summed up by what was told.
import { afterEach, beforeEach, expect, test } from "vitest";
import { createStores, type Stores } from "../../../server/db/stores.ts";
import { startMs } from "../../helpers/store-rig.ts";

const hourMs = 3_600_000;
let stores: Stores;
beforeEach(() => {
  stores = createStores(":memory:");
  const bucket = { label: "Gate", tapIds: [], cell: null, capacityL: 10, emptyKg: 1 };
  stores.buckets.insert({ ...bucket, role: "sap" }, startMs);
});
afterEach(() => stores.close());

const say = (hour: number, over: number) =>
  stores.forecastSaid.insert({
    bucketId: "gate",
    atMs: startMs + hour * hourMs,
    over6h: over / 2,
    over12h: over,
    over24h: over,
    low12G: 500,
    mid12G: 1000,
    high12G: 2000,
    roomG: 4000,
  });
const close = (hour: number, overH: number | null, more = {}) =>
  stores.forecastSaid.close("gate", startMs + hour * hourMs, {
    came12G: 1000,
    overMs: overH === null ? null : startMs + (hour + overH) * hourMs,
    weighed: true,
    ...more,
  });

test("the first word of an hour stands, and what is closed is open no more", () => {
  say(0, 0.1);
  say(0, 0.9);
  say(1, 0.3);
  const open = () => stores.forecastSaid.listOpen("gate", startMs + hourMs);
  expect(open()).toEqual([
    { atMs: startMs, roomG: 4000 },
    { atMs: startMs + hourMs, roomG: 4000 },
  ]);
  close(0, null);
  expect(open()).toHaveLength(1);
  expect(stores.forecastSaid.reliability(12)).toMatchObject([{ bin: 1, count: 1, told: 0.1 }]);
  expect(stores.forecastSaid.sinceMs()).toBe(startMs);
});

test("chances are told by bin, with what came within that lead", () => {
  for (const [hour, over] of [0.01, 0.1, 0.1, 0.95, 1].entries()) say(hour, over);
  close(0, null);
  close(1, 11);
  close(2, 13);
  close(3, 2);
  close(4, 2, { weighed: false });
  expect(stores.forecastSaid.reliability(12)).toEqual([
    { bin: 0, count: 1, told: 0.01, came: 0 },
    { bin: 1, count: 2, told: 0.1, came: 1 },
    { bin: 5, count: 1, told: 0.95, came: 1 },
  ]);
  expect(stores.forecastSaid.reliability(24)[1]).toMatchObject({ bin: 1, came: 2 });
});

test("intervals count where sap ran or was told to, with a little slack", () => {
  for (const hour of [0, 1, 2]) say(hour, 0);
  close(0, null, { came12G: 2015 });
  close(1, null, { came12G: 2500 });
  const bounds = { activeG: 100, slackG: 20 };
  expect(stores.forecastSaid.inflowFigures(bounds)).toEqual({ count: 2, within: 1 });
});

test("an outcome is found for an instant of its hour, and goes when its bucket is gone through again", () => {
  say(0, 0.5);
  close(0, 3);
  const { forecastSaid, tracks } = stores;
  const found = forecastSaid.outcomeAt("gate", startMs + hourMs / 2);
  expect(found).toEqual({ closed: 1, weighed: 1, chance: 0.5, overMs: startMs + 3 * hourMs });
  expect(forecastSaid.outcomeAt("gate", startMs + 3 * hourMs)).toBeUndefined();
  expect(forecastSaid.outcomeAt("gate", startMs - 1)).toBeUndefined();
  tracks.forgetAfter("gate", startMs + 30 * hourMs);
  expect(forecastSaid.outcomeAt("gate", startMs)?.closed).toBe(1);
  tracks.forgetAfter("gate", startMs + 20 * hourMs);
  expect(forecastSaid.outcomeAt("gate", startMs)?.closed).toBe(0);
  forecastSaid.forgetBefore("gate", startMs + 1);
  expect(forecastSaid.sinceMs()).toBeNull();
});
