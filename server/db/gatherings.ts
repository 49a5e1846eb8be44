// Gatherings: what was carried away, as the cells saw it and as people corrected it.
import type { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { msPerMinute } from "../../shared/units.ts";
import type {
  Gathering,
  gatheringPatchSchema,
  gatheringPostSchema,
} from "../../shared/wire/records.ts";
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";

/** An emptied bucket as its cell saw it. */
export type DetectedGathering = { atMs: number; volumeL: number };

export type GatheringStore = ReturnType<typeof createGatheringStore>;

/**
 * A late reading may shift the instant a gathering is seen at. What a person touched then still
 * stands for the same gathering; nobody empties one bucket twice within five minutes.
 */
const sameGatheringMs = 5 * msPerMinute;

type GatheringRow = Omit<Gathering, "struck" | "volumeL"> & { struck: number; volumeMl: number };

const select =
  "SELECT id, bucket_id AS bucketId, at_ms AS atMs, volume_ml AS volumeMl, by, struck, note FROM gathering";

const gatheringFrom = ({ volumeMl, ...row }: GatheringRow): Gathering => ({
  ...row,
  struck: row.struck === 1,
  volumeL: volumeMl / 1000,
});

const mlFromL = (volumeL: number) => Math.round(volumeL * 1000);

export function createGatheringStore(sqlite: Sqlite) {
  const listSpan = sqlite.prepare(`${select} WHERE at_ms >= @fromMs AND at_ms < @toMs
    AND (@bucketId IS NULL OR bucket_id = @bucketId) ORDER BY at_ms, id`);
  const findOne = sqlite.prepare(`${select} WHERE id = ?`);
  const insertOne = sqlite.prepare(`INSERT INTO gathering (bucket_id, at_ms, volume_ml, by, note)
    VALUES (@bucketId, @atMs, @volumeMl, 'hand', @note)`);
  const updateOne = sqlite.prepare(`UPDATE gathering
    SET volume_ml = @volumeMl, struck = @struck, note = @note, touched = 1 WHERE id = @id`);
  const deleteOne = sqlite.prepare("DELETE FROM gathering WHERE id = ?");

  /** Throws AppError "not-found". */
  function get(id: number): Gathering {
    const row = findOne.get(id) as GatheringRow | undefined;
    if (!row) throw new AppError("not-found", `gathering requires one that exists, got ${id}`);
    return gatheringFrom(row);
  }

  return {
    get,
    ...createDetectedWriter(sqlite),

    /** Those at or after `fromMs` and before `toMs`, oldest first, struck ones among them. */
    list({ fromMs, toMs, bucketId = null }: GatheringSpan): Gathering[] {
      return (listSpan.all({ fromMs, toMs, bucketId }) as GatheringRow[]).map(gatheringFrom);
    },

    /** Logs one by hand. */
    insert({ bucketId, atMs, volumeL, note }: HandGathering): Gathering {
      const volumeMl = mlFromL(volumeL);
      const { lastInsertRowid } = insertOne.run({ bucketId, atMs, volumeMl, note });
      return get(Number(lastInsertRowid));
    },

    /** Corrects or strikes one; from then on no reading changes it. Throws AppError "not-found". */
    update(id: number, patch: z.output<typeof gatheringPatchSchema>): Gathering {
      const old = get(id);
      updateOne.run({
        id,
        volumeMl: mlFromL(patch.volumeL ?? old.volumeL),
        struck: (patch.struck ?? old.struck) ? 1 : 0,
        note: patch.note === undefined ? old.note : patch.note,
      });
      return get(id);
    },

    /** Throws AppError "not-found", and "conflict" for one a cell saw: it would come back. */
    remove(id: number): void {
      if (get(id).by === "cell") {
        throw new AppError(
          "conflict",
          `deleting gathering ${id} requires one logged by hand, got one that a cell saw; strike it instead`,
        );
      }
      deleteOne.run(id);
    },
  };
}

type GatheringSpan = { fromMs: number; toMs: number; bucketId?: string | null };
type HandGathering = Required<
  Pick<z.output<typeof gatheringPostSchema>, "bucketId" | "volumeL" | "note">
> & { atMs: number };

function createDetectedWriter(sqlite: Sqlite) {
  const touchedNear = sqlite
    .prepare(`SELECT id FROM gathering
    WHERE bucket_id = @bucketId AND by = 'cell' AND touched = 1
      AND at_ms BETWEEN @atMs - ${sameGatheringMs} AND @atMs + ${sameGatheringMs}
    ORDER BY abs(at_ms - @atMs) LIMIT 1`)
    .pluck();
  const seenAgain = sqlite.prepare("UPDATE gathering SET detected_ml = @volumeMl WHERE id = @id");
  const upsert =
    sqlite.prepare(`INSERT INTO gathering (bucket_id, at_ms, volume_ml, by, detected_ml)
    VALUES (@bucketId, @atMs, @volumeMl, 'cell', @volumeMl)
    ON CONFLICT (bucket_id, at_ms) WHERE by = 'cell' DO UPDATE
      SET volume_ml = excluded.volume_ml, detected_ml = excluded.detected_ml`);
  const deleteOthers = sqlite.prepare(`DELETE FROM gathering
    WHERE bucket_id = @bucketId AND by = 'cell' AND touched = 0 AND at_ms >= @fromMs
      AND at_ms NOT IN (SELECT value FROM json_each(@atMs))`);

  function putDetected(bucketId: string, { atMs, volumeL }: DetectedGathering): void {
    const volumeMl = Math.max(0, mlFromL(volumeL));
    const id = touchedNear.get({ bucketId, atMs }) as number | undefined;
    if (id === undefined) upsert.run({ bucketId, atMs, volumeMl });
    else seenAgain.run({ id, volumeMl });
  }

  function replaceDetected(bucketId: string, fromMs: number, list: DetectedGathering[]): void {
    const atMs = JSON.stringify(list.map((gathering) => gathering.atMs));
    deleteOthers.run({ bucketId, fromMs, atMs });
    for (const gathering of list) putDetected(bucketId, gathering);
  }

  return {
    /** Puts one that a cell saw; a person's correction or strike of it stays. */
    putDetected: transactional(sqlite, putDetected),

    /**
     * After a bucket's past was gone through again: from `fromMs` on its cell saw these and no
     * others. What a person touched stays.
     */
    replaceDetected: transactional(sqlite, replaceDetected),
  };
}
