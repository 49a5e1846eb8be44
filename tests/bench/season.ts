// A store with a season in it that ends now: fifty buckets for sixty days, one of them with all its readings.
import { setTimeout as delay } from "node:timers/promises";
import { createStores, type Stores } from "../../server/db/stores.ts";
import type { YardView } from "../../shared/wire/api.ts";
import { call, type Folder, makeFolder, startServer } from "./child.ts";

export const days = 60;
export const buckets = 50;
export const bucketWithReadings = 7;
export const dayMs = 86_400_000;
const slotMs = 600_000;
export const untilMs = Math.floor(Date.now() / slotMs) * slotMs;
export const fromMs = untilMs - days * dayMs;
export const cellsPerBoard = 8;
/** So many of the buckets hang on trees. */
const trees = 24;
const everyMs = 30_000;
const patienceMs = 60_000;
/** So fast a bucket of eleven litres is emptied each day. */
const grownGPerReading = 3;

/** Ten-minute slots of all fifty; readings at 30 s of one, gone through by the server itself. */
export async function makeSeason(): Promise<Folder> {
  const folder = makeFolder();
  const stores = createStores(folder.path);
  stores.sqlite.transaction(() => {
    for (let index = 1; index <= buckets; index += 1) {
      stores.boards.heard(boardOf(index), fromMs);
      fillBucket(stores, index);
    }
  })();
  stores.close();
  const server = await startServer(folder.path);
  await goneThrough(server.httpUrl);
  await server.stop();
  return folder;
}

/** Eight cells on each. */
export function boardOf(index: number): string {
  return `bench-${Math.ceil(index / cellsPerBoard)}`;
}

async function goneThrough(httpUrl: string): Promise<void> {
  const deadlineMs = performance.now() + patienceMs;
  for (;;) {
    const { buckets: all } = await call<YardView>(`${httpUrl}/api/v1/yard`, "GET");
    const { lastReadingMs } = all.find(({ id }) => id === `pail-${bucketWithReadings}`) ?? {};
    if (lastReadingMs === untilMs) return;
    if (performance.now() > deadlineMs) {
      throw new Error(`season requires to be gone through in time, got to ${lastReadingMs}`);
    }
    await delay(100);
  }
}

function fillBucket(stores: Stores, index: number): void {
  const cellKey = stores.boards.cellKey({
    board: boardOf(index),
    name: `cell-${index}`,
    atMs: fromMs,
  });
  const cell = `${boardOf(index)}/cell-${index}`;
  const make = {
    tapIds: index <= trees ? [tapOf(stores, index)] : [],
    capacityL: 11,
    emptyKg: 0.8,
    role: "sap" as const,
  };
  stores.buckets.insert({ label: `Pail ${index}`, cell, ...make, fromMs }, untilMs);
  if (index === bucketWithReadings) fillReadings(stores, cellKey);
  else fillSlots(stores, `pail-${index}`);
}

function tapOf({ trees: store, taps }: Stores, index: number): string {
  const tree = store.insert({
    label: `Tree ${index}`,
    species: null,
    girthCm: null,
    note: null,
    health: "sound",
  });
  return taps.insert({ treeId: tree.id, tappedMs: fromMs }).id;
}

function fillSlots({ tracks }: Stores, bucketId: string): void {
  for (let atMs = fromMs + slotMs; atMs <= untilMs; atMs += slotMs) {
    const flowGPerH = 200 + 150 * Math.sin((2 * Math.PI * atMs) / dayMs);
    tracks.insertSlot(bucketId, {
      atMs,
      netG: (atMs / slotMs) % 9000,
      inflowG: flowGPerH / 6,
      flowGPerH,
      lowGPerH: flowGPerH - 20,
      highGPerH: flowGPerH + 20,
      airC: 6 * Math.sin((2 * Math.PI * atMs) / dayMs),
      full: false,
    });
  }
}

function fillReadings({ readings }: Stores, cellKey: number): void {
  for (let atMs = fromMs + everyMs; atMs <= untilMs; atMs += everyMs) {
    const massG = 800 + ((atMs % dayMs) / everyMs) * grownGPerReading;
    readings.insertReading({ cellKey, atMs, massG, spreadG: 2, counts: null });
  }
}
