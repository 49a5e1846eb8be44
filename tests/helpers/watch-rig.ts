// A watch over a real store, fed like ingest feeds it, with a small yard of the test's own.
import { createStores } from "../../server/db/stores.ts";
import type { Notice } from "../../server/watch/alarm-desk.ts";
import { createWatch } from "../../server/watch/watch.ts";
import type { AlarmNote } from "../../shared/wire/topics.ts";
import { createTestClock, createTestLog, startMs } from "./store-rig.ts";

export type Sample = { atMs: number; massG: number; airC?: number };

export function openWatchRig(folder = ":memory:") {
  const stores = createStores(folder);
  const clock = createTestClock();
  const log = createTestLog();
  const notices: Notice[] = [];
  const notes = new Map<string, AlarmNote | undefined>();
  const watch = createWatch({
    ...stores,
    clock,
    log,
    settings: stores.people.yard,
    timeZone: "America/Toronto",
    simulated: false,
    freeBytes: () => 1e12,
    retryMs: 1,
    sendNotice: (notice) => notices.push(notice),
    publishNote: (bucketId, note) => notes.set(bucketId, note),
  });
  return { stores, clock, log, notices, notes, watch };
}

export type WatchRig = ReturnType<typeof openWatchRig>;

/** Stores samples as one commit and tells the watch of it, as ingest does. */
export function commit(rig: WatchRig, cell: string, samples: readonly Sample[]): void {
  const [board = "", name = ""] = cell.split("/");
  const { boards, readings, sqlite } = rig.stores;
  const first = samples[0]?.atMs ?? 0;
  const cellKey = sqlite.transaction(() => {
    boards.heard(board, rig.clock.nowMs());
    const key = boards.cellKey({ board, name, atMs: first });
    for (const { atMs, massG, airC } of samples) {
      readings.insertReading({ cellKey: key, atMs, massG, spreadG: null, counts: null });
      if (airC !== undefined) {
        const probeKey = boards.probeKey({ board, name: "air", atMs });
        readings.insertTemperature({ probeKey, atMs, tempC: airC });
      }
    }
    return key;
  })();
  const times = samples.map(({ atMs }) => atMs);
  const span = { fromMs: Math.min(...times), untilMs: Math.max(...times) };
  const hasAir = samples.some(({ airC }) => airC !== undefined);
  const batch = { board, cells: [{ cellKey, ...span }], ...(hasAir ? { probes: span } : {}) };
  rig.watch.committed([batch]);
}

/** A tree with a tap and a bucket on a cell. */
export function hang(
  rig: WatchRig,
  bucket: { label: string; cell: string; capacityL?: number; fromMs?: number },
): string {
  const { trees, taps, buckets } = rig.stores;
  const tree = trees.insert({ label: bucket.label, species: null, girthCm: null, note: null });
  const tap = taps.insert({ treeId: tree.id, tappedMs: null });
  const change = buckets.insert(
    {
      label: bucket.label,
      tapIds: [tap.id],
      cell: bucket.cell,
      capacityL: bucket.capacityL ?? 10,
      emptyKg: 0.8,
      role: "sap",
      fromMs: bucket.fromMs ?? startMs - 30 * 86_400_000,
    },
    rig.clock.nowMs(),
  );
  rig.watch.recordsChanged({ bucketId: change.bucket.id, fromMs: change.againFromMs ?? 0 });
  return change.bucket.id;
}

/**
 * Samples every 30 s of a bucket that fills at a steady rate, with the noise of a cell.
 * Masses are gross: 800 g of bucket and what is in it.
 */
export function filling(span: {
  fromMs: number;
  hours: number;
  flowGPerH: number;
  startG?: number;
  airC?: number;
  noise?: () => number;
}): Sample[] {
  const { fromMs, hours, flowGPerH, startG = 0, airC = 6, noise = () => 0 } = span;
  const stepMs = 30_000;
  return Array.from({ length: Math.round((hours * 3_600_000) / stepMs) }, (_, index) => {
    const atMs = fromMs + index * stepMs;
    const massG = 800 + startG + (flowGPerH * index * stepMs) / 3_600_000 + 4 * noise();
    return { atMs, massG, airC };
  });
}

/** All that was made of the readings. */
export function derived({ stores }: WatchRig) {
  const list = (sql: string) => stores.sqlite.prepare(sql).all();
  return {
    slots: list("SELECT * FROM ten_minute ORDER BY 1, 2"),
    events: list("SELECT * FROM event ORDER BY 1, 2, 4"),
    days: list("SELECT * FROM day ORDER BY 1, 2"),
    gatherings: list("SELECT bucket_id, at_ms, volume_ml FROM gathering ORDER BY 1, 2"),
  };
}
