// What hung where, from when until when: the history of every bucket.
import { AppError } from "../../shared/errors.ts";
import { msPerMinute } from "../../shared/units.ts";
import { dateText } from "../../shared/wire/record-checks.ts";
import type { Sqlite } from "./sqlite.ts";

/** One bucket in one place for a span of time. Units: L, g, ms. */
export type Hanging = {
  id: number;
  bucketId: string;
  /** "hill/cell-1"; null hangs on no cell. */
  cell: string | null;
  /** Null until the cell was first heard. */
  cellKey: number | null;
  fromMs: number;
  /** Null: it hangs there now. */
  untilMs: number | null;
  capacityL: number;
  emptyG: number;
  /** Share of the sunlight that reaches it, 0-1. */
  sunShare: number;
  tapIds: string[];
};

export type HangingPlace = Pick<Hanging, "cell" | "capacityL" | "emptyG" | "sunShare" | "tapIds">;

/** What a bucket weighs and holds: the same for a bucket that hangs where it hung. */
export type HangingMake = Partial<Pick<Hanging, "capacityL" | "emptyG">>;

/** A change can't hold from so early on; the doors say it in their readers' words. */
export class TooEarlyError extends AppError {
  readonly earliestMs: number;
  readonly bucketId: string;

  constructor(fromMs: number, { fromMs: earliestMs, bucketId }: Hanging) {
    super(
      "conflict",
      `fromMs requires ${dateText(earliestMs)} or later, when ${bucketId} was hung as it hangs, got ${dateText(fromMs)}`,
    );
    this.name = "TooEarlyError";
    this.earliestMs = earliestMs;
    this.bucketId = bucketId;
  }
}

type HangingRow = Omit<Hanging, "tapIds"> & { tapIds: string };

const select = `
  SELECT h.id, h.bucket_id AS bucketId, h.board || '/' || h.cell AS cell, c.key AS cellKey,
         h.from_ms AS fromMs, h.until_ms AS untilMs, h.capacity_l AS capacityL,
         h.empty_g AS emptyG, h.sun_share AS sunShare,
         (SELECT json_group_array(tap_id) FROM
           (SELECT tap_id FROM hanging_tap WHERE hanging_id = h.id ORDER BY tap_id)) AS tapIds
  FROM hanging h LEFT JOIN cell c ON c.board = h.board AND c.name = h.cell`;

const hangingFromRow = (row: HangingRow): Hanging => ({
  ...row,
  tapIds: JSON.parse(row.tapIds) as string[],
});

export type HangingStore = ReturnType<typeof createHangingStore>;

export function createHangingStore(sqlite: Sqlite) {
  const ofBucket = sqlite.prepare(`${select} WHERE h.bucket_id = ? ORDER BY h.from_ms, h.id`);
  const openOnes = sqlite.prepare(`${select} WHERE h.until_ms IS NULL ORDER BY h.bucket_id`);
  const openOfBucket = sqlite.prepare(`${select} WHERE h.bucket_id = ? AND h.until_ms IS NULL`);
  const ofCellAt = sqlite.prepare(`
    ${select} WHERE c.key = @cellKey AND h.from_ms <= @atMs
      AND (h.until_ms IS NULL OR h.until_ms > @atMs)`);
  const ofCellSince = sqlite.prepare(`
    ${select} WHERE c.key = @cellKey AND (h.until_ms IS NULL OR h.until_ms > @fromMs)
    ORDER BY h.from_ms`);
  const { put, movePlace } = createHangingWriter(sqlite);
  const remake = createRemaking(sqlite);

  function mapped(rows: unknown[]): Hanging[] {
    return (rows as HangingRow[]).map(hangingFromRow);
  }

  return {
    /** All of a bucket's history, oldest first. */
    listOfBucket: (bucketId: string) => mapped(ofBucket.all(bucketId)),

    /** Where every bucket hangs now. */
    listOpen: () => mapped(openOnes.all()),

    /** Where a bucket hangs now. */
    current(bucketId: string): Hanging | undefined {
      return mapped(openOfBucket.all(bucketId))[0];
    },

    /** Which bucket's weight a cell gave at an instant. */
    ofCellAt(cellKey: number, atMs: number): Hanging | undefined {
      return mapped(ofCellAt.all({ cellKey, atMs }))[0];
    },

    /** All that hung on a cell at any time after `fromMs`, oldest first. */
    listOfCellSince: (cellKey: number, fromMs: number) =>
      mapped(ofCellSince.all({ cellKey, fromMs })),

    put,
    movePlace,

    /**
     * Puts right what a bucket weighs or holds from an instant on, on the cell that it hangs on now,
     * whatever else changed meanwhile. Throws TooEarlyError for an instant before it came there.
     */
    remake({ bucketId, make, fromMs }: { bucketId: string; make: HangingMake; fromMs: number }) {
      const [first, ...later] = onPresentCell(mapped(ofBucket.all(bucketId)));
      if (first === undefined) throw new Error(`bucket ${bucketId} has no present hanging`);
      const startMs = sinceWithin(first, fromMs);
      for (const hanging of [first, ...later]) remake(hanging, make, startMs);
      return startMs;
    },
  };
}

/** Of a bucket's hangings in order of time, those since it came to the cell that it hangs on now. */
export function onPresentCell(all: readonly Hanging[]): Hanging[] {
  return all.slice(all.findLastIndex(({ cell }) => cell !== all.at(-1)?.cell) + 1);
}

/** People say minutes: the one in which a hanging began is its very start. Throws TooEarlyError. */
export function sinceWithin(hanging: Hanging, fromMs: number): number {
  if (fromMs >= hanging.fromMs) return fromMs;
  if (hanging.fromMs - fromMs < msPerMinute) return hanging.fromMs;
  throw new TooEarlyError(fromMs, hanging);
}

function createRemaking(sqlite: Sqlite) {
  const change = sqlite.prepare(`
    UPDATE hanging SET capacity_l = @capacityL, empty_g = @emptyG WHERE id = @id`);
  const endAt = sqlite.prepare("UPDATE hanging SET until_ms = @fromMs WHERE id = @id");
  const copy = sqlite.prepare(`
    INSERT INTO hanging (bucket_id, board, cell, from_ms, until_ms, capacity_l, empty_g, sun_share)
    SELECT bucket_id, board, cell, @fromMs, @untilMs, capacity_l, empty_g, sun_share
    FROM hanging WHERE id = @id`);
  const copyTaps = sqlite.prepare(`
    INSERT INTO hanging_tap (hanging_id, tap_id)
    SELECT @copyId, tap_id FROM hanging_tap WHERE hanging_id = @id`);

  /** One that had begun before keeps what it was until then. */
  return ({ id, untilMs, ...before }: Hanging, make: HangingMake, fromMs: number): void => {
    if (untilMs !== null && untilMs <= fromMs) return;
    const { capacityL, emptyG } = { ...before, ...make };
    if (before.fromMs >= fromMs) {
      change.run({ id, capacityL, emptyG });
      return;
    }
    endAt.run({ id, fromMs });
    const copyId = Number(copy.run({ id, fromMs, untilMs }).lastInsertRowid);
    copyTaps.run({ id, copyId });
    change.run({ id: copyId, capacityL, emptyG });
  };
}

function createHangingWriter(sqlite: Sqlite) {
  const insertOne = sqlite.prepare(`
    INSERT INTO hanging (bucket_id, board, cell, from_ms, capacity_l, empty_g, sun_share)
    VALUES (@bucketId, @board, @name, @fromMs, @capacityL, @emptyG, @sunShare)`);
  const insertTap = sqlite.prepare("INSERT INTO hanging_tap (hanging_id, tap_id) VALUES (?, ?)");
  const close = sqlite.prepare("UPDATE hanging SET until_ms = @untilMs WHERE id = @id");
  const deleteOne = sqlite.prepare("DELETE FROM hanging WHERE id = ?");
  const onCell = sqlite.prepare(`
    SELECT b.id, b.label FROM hanging h JOIN bucket b ON b.id = h.bucket_id
    WHERE h.board = @board AND h.cell = @name AND h.bucket_id <> @bucketId
      AND (h.until_ms IS NULL OR h.until_ms > @fromMs) LIMIT 1`);
  const underTap = sqlite.prepare(`
    SELECT b.id, b.label FROM hanging h JOIN hanging_tap t ON t.hanging_id = h.id
      JOIN bucket b ON b.id = h.bucket_id
    WHERE t.tap_id = @tapId AND h.bucket_id <> @bucketId
      AND (h.until_ms IS NULL OR h.until_ms > @fromMs) LIMIT 1`);
  const isTap = sqlite.prepare("SELECT 1 FROM tap WHERE id = ?").pluck();

  function requireFree({ bucketId, place, fromMs }: PutHanging): void {
    const [board, name] = place.cell?.split("/") ?? [null, null];
    type Holder = { id: string; label: string } | undefined;
    const holder = onCell.get({ board, name, bucketId, fromMs }) as Holder;
    if (holder) {
      throw new AppError(
        "conflict",
        `cell requires one without a bucket, got ${place.cell}, which carries "${holder.label}" (${holder.id})`,
      );
    }
    for (const tapId of place.tapIds) {
      if (isTap.get(tapId) === undefined) {
        throw new AppError("conflict", `tapIds requires taps that exist, got ${tapId}`);
      }
      const other = underTap.get({ tapId, bucketId, fromMs }) as Holder;
      if (other) {
        throw new AppError(
          "conflict",
          `tapIds requires taps without a bucket, got ${tapId}, which runs into "${other.label}" (${other.id})`,
        );
      }
    }
  }

  /** Hangs a bucket somewhere from an instant on. Throws AppError "conflict" naming who is there. */
  function put(hanging: PutHanging): void {
    requireFree(hanging);
    const { bucketId, place, fromMs } = hanging;
    const [board, name] = place.cell?.split("/") ?? [null, null];
    const { capacityL, emptyG, sunShare } = place;
    const make = { capacityL, emptyG, sunShare };
    const { lastInsertRowid } = insertOne.run({ bucketId, board, name, fromMs, ...make });
    for (const tapId of new Set(place.tapIds)) insertTap.run(lastInsertRowid, tapId);
  }

  /**
   * Ends the present hanging and begins another. What went before `fromMs` stays as it was; only
   * the very instant the present one began may be named again, which corrects it.
   * Throws AppError "conflict" for an earlier instant or a place that is taken.
   */
  function movePlace(present: Hanging, place: HangingPlace, fromMs: number): void {
    if (fromMs < present.fromMs) throw new TooEarlyError(fromMs, present);
    if (fromMs === present.fromMs) deleteOne.run(present.id);
    else close.run({ id: present.id, untilMs: fromMs });
    put({ bucketId: present.bucketId, place, fromMs });
  }

  return { put, movePlace };
}

type PutHanging = { bucketId: string; place: HangingPlace; fromMs: number };
