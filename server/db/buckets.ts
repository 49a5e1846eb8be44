// Buckets as people set them up; every change of place or make goes into their history.
import type { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { gFromKg, kgFromG } from "../../shared/units.ts";
import type { Bucket, bucketPatchSchema, bucketPostSchema } from "../../shared/wire/records.ts";
import { changedBy } from "./changed-by.ts";
import {
  createHangingStore,
  type Hanging,
  type HangingMake,
  type HangingPlace,
  type HangingStore,
  sinceWithin,
} from "./hangings.ts";
import { uniqueIdFrom } from "./slug.ts";
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";
import { createWashingStore } from "./washings.ts";

type BucketPost = z.output<typeof bucketPostSchema>;
type BucketPatch = z.output<typeof bucketPatchSchema>;
type BucketRow = { id: string; label: string; role: Bucket["role"]; parked: number };

/** Half the sky is behind the trunk that a bucket hangs on (geometry; bare crowns hold back more). */
const onATrunk = 0.5;

/** A bucket after a change; `againFromMs` is there when its past reads differently from then on. */
export type BucketChange = {
  bucket: Bucket;
  againFromMs?: number;
  /** The bucket that got its cell. */
  swappedId?: string;
};

export type BucketStore = ReturnType<typeof createBucketStore>;

export function createBucketStore(sqlite: Sqlite) {
  const hangings = createHangingStore(sqlite);
  const washings = createWashingStore(sqlite);
  const rows = createBucketRows(sqlite);
  const firstHeard = createFirstHeard(sqlite);
  const rehang = createRehang(hangings, firstHeard);
  const swap = createSwap(hangings, update);

  /** Throws AppError "not-found". */
  function get(id: string): Bucket {
    const row = rows.find(id);
    if (!row) throw new AppError("not-found", `bucket requires one that exists, got ${id}`);
    return bucketFrom(row, hangings.current(id));
  }

  function insert(post: BucketPost, nowMs: number): BucketChange {
    const id = uniqueIdFrom(post.label, "bucket", (taken) => rows.find(taken) !== undefined);
    const fromMs = post.fromMs ?? firstHeard(post.cell) ?? nowMs;
    requirePast(fromMs, nowMs);
    rows.insert({ id, label: post.label, role: post.role });
    const place = placeFrom({ ...post, sunShare: post.sunShare ?? onATrunk });
    hangings.put({ bucketId: id, place, fromMs });
    return { bucket: get(id), againFromMs: fromMs };
  }

  function update(id: string, patch: BucketPatch, nowMs: number): BucketChange {
    const { fromMs: _, swapWith, ...fields } = patch;
    if (swapWith !== undefined) return swap([get(id), get(swapWith)], { patch, nowMs });
    const old = get(id);
    const next = changedBy(old, fields);
    rows.update(next);
    const againFromMs = rehang({ old, next, patch }, nowMs);
    return { bucket: get(id), ...(againFromMs !== undefined && { againFromMs }) };
  }

  return {
    hangings,
    washings,
    list: () => rows.list().map((row) => bucketFrom(row, hangings.current(row.id))),
    has: (id: string) => rows.find(id) !== undefined,
    get,

    /**
     * A first bucket on a cell holds from when the cell was first heard, any other from now on,
     * unless `fromMs` says otherwise. Throws AppError "conflict" when cell or tap is taken.
     */
    insert: transactional(sqlite, insert),

    /**
     * A new place or make holds from `fromMs` on: now, if it isn't said; for a bucket that had
     * no cell, since its first one was heard. What it weighs or holds may be put right since it came
     * to its cell; with nothing changed, what holds now does. Throws AppError "not-found", "conflict".
     */
    update: transactional(sqlite, update),

    /** Throws AppError "not-found", and "conflict" for a bucket with a past. */
    remove: transactional(sqlite, (id: string) => rows.remove(get(id).id)),
  };
}

type Update = (id: string, patch: BucketPatch, nowMs: number) => BucketChange;

/** Hangs one bucket where another hangs, and that one where it hung. Both come off first: no cell carries two. */
function createSwap(hangings: HangingStore, update: Update) {
  return (
    [one, other]: [Bucket, Bucket],
    { patch, nowMs }: { patch: BucketPatch; nowMs: number },
  ): BucketChange => {
    requireOn(other, patch.cell);
    const fromMs = [one, other]
      .flatMap(({ id }) => hangings.current(id) ?? [])
      .reduce((atMs, present) => sinceWithin(present, atMs), patch.fromMs ?? nowMs);
    update(one.id, { cell: null, fromMs }, nowMs);
    update(other.id, { cell: one.cell, fromMs }, nowMs);
    const { swapWith: _, ...rest } = patch;
    return { ...update(one.id, { ...rest, fromMs }, nowMs), swappedId: other.id };
  };
}

type FirstHeard = ReturnType<typeof createFirstHeard>;

/** Writes a change into the history of a bucket; gives from when on, undefined where nothing hangs otherwise. */
function createRehang(hangings: HangingStore, firstHeard: FirstHeard) {
  return ({ old, next, patch }: Changed, nowMs: number): number | undefined => {
    const { fromMs } = patch;
    const present = hangings.current(old.id);
    if (present === undefined) return undefined;
    const { capacityL, emptyKg } = old;
    const isMoved = !isSamePlace(placeFrom(old), placeFrom({ ...next, capacityL, emptyKg }));
    if (!isMoved && fromMs !== undefined && fromMs < present.fromMs) {
      return hangings.remake({ bucketId: old.id, make: makeFrom(patch, next), fromMs });
    }
    if (isSamePlace(placeFrom(old), placeFrom(next))) return undefined;
    const heardMs = (old.cell === null ? firstHeard(next.cell) : undefined) ?? nowMs;
    const usualMs = Math.max(heardMs, present.fromMs);
    const startMs = fromMs === undefined ? usualMs : sinceWithin(present, fromMs);
    requirePast(startMs, nowMs);
    hangings.movePlace(present, placeFrom(next), startMs);
    return startMs;
  };
}

type Changed = { old: Bucket; next: Bucket; patch: BucketPatch };

function createBucketRows(sqlite: Sqlite) {
  const select = "SELECT id, label, role, parked FROM bucket";
  const listAll = sqlite.prepare(`${select} ORDER BY label, id`);
  const findOne = sqlite.prepare(`${select} WHERE id = ?`);
  const insertOne = sqlite.prepare(
    "INSERT INTO bucket (id, label, role) VALUES (@id, @label, @role)",
  );
  const updateOne = sqlite.prepare(
    "UPDATE bucket SET label = @label, role = @role, parked = @parked WHERE id = @id",
  );
  const past = sqlite
    .prepare(`
    SELECT EXISTS (SELECT 1 FROM gathering WHERE bucket_id = @id)
        OR EXISTS (SELECT 1 FROM event WHERE bucket_id = @id)
        OR EXISTS (SELECT 1 FROM ten_minute WHERE bucket_id = @id)
        OR EXISTS (SELECT 1 FROM day WHERE bucket_id = @id)`)
    .pluck();
  const deletions = [
    "DELETE FROM washing WHERE bucket_id = ?",
    "DELETE FROM forecast_said WHERE bucket_id = ?",
    "DELETE FROM inflow_told WHERE bucket_id = ?",
    "DELETE FROM air_told WHERE bucket_id = ?",
    "DELETE FROM checkpoint WHERE bucket_id = ?",
    "DELETE FROM hanging WHERE bucket_id = ?",
    "DELETE FROM bucket WHERE id = ?",
  ].map((sql) => sqlite.prepare(sql));

  return {
    list: () => listAll.all() as BucketRow[],
    find: (id: string) => findOne.get(id) as BucketRow | undefined,
    insert: (row: { id: string; label: string; role: string }) => insertOne.run(row),
    update: ({ id, label, role, parked }: Bucket) =>
      updateOne.run({ id, label, role, parked: parked ? 1 : 0 }),
    remove(id: string): void {
      if (past.get({ id }) === 1) {
        const text = `deleting bucket ${id} requires one without a past; park it instead`;
        throw new AppError("conflict", text);
      }
      for (const deletion of deletions) deletion.run(id);
    },
  };
}

/** Time of the first reading of a cell that never carried a bucket, or when it was first heard of. */
function createFirstHeard(sqlite: Sqlite) {
  const firstHeardMs = sqlite
    .prepare(`
      SELECT coalesce((SELECT min(at_ms) FROM reading WHERE cell_key = c.key), first_heard_ms)
      FROM cell c WHERE board || '/' || name = ? AND NOT EXISTS
        (SELECT 1 FROM hanging h WHERE h.board = c.board AND h.cell = c.name)`)
    .pluck();
  return (cell: string | null): number | undefined =>
    cell === null ? undefined : (firstHeardMs.get(cell) as number | undefined);
}

function bucketFrom(row: BucketRow, hanging: Hanging | undefined): Bucket {
  if (hanging === undefined) throw new Error(`bucket ${row.id} has no present hanging`);
  return {
    id: row.id,
    label: row.label,
    tapIds: hanging.tapIds,
    cell: hanging.cell,
    capacityL: hanging.capacityL,
    emptyKg: kgFromG(hanging.emptyG),
    sunShare: hanging.sunShare,
    role: row.role,
    parked: row.parked === 1,
  };
}

function placeFrom({
  cell,
  capacityL,
  emptyKg,
  sunShare,
  tapIds,
}: Pick<Bucket, "cell" | "capacityL" | "emptyKg" | "sunShare" | "tapIds">): HangingPlace {
  const taps = [...new Set(tapIds)].sort();
  return { cell, capacityL, emptyG: gFromKg(emptyKg), sunShare, tapIds: taps };
}

function requireOn({ id, cell }: Bucket, wanted: string | null | undefined): void {
  if (typeof wanted === "string" && cell === wanted) return;
  const text = `swapWith requires the bucket on ${wanted ?? "a cell"}, got ${id}, which hangs on ${cell ?? "no cell"}`;
  throw new AppError("conflict", text);
}

function makeFrom(patch: BucketPatch, { capacityL, emptyKg }: Bucket): HangingMake {
  const isNeither = patch.capacityL === undefined && patch.emptyKg === undefined;
  return {
    ...((isNeither || patch.capacityL !== undefined) && { capacityL }),
    ...((isNeither || patch.emptyKg !== undefined) && { emptyG: gFromKg(emptyKg) }),
  };
}

function isSamePlace(one: HangingPlace, other: HangingPlace): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

function requirePast(fromMs: number, nowMs: number): void {
  if (fromMs > nowMs) {
    throw new AppError("conflict", `fromMs requires a time up to now, got ${fromMs} at ${nowMs}`);
  }
}
