// What was poured into, between and out of vessels, and the sap of each gathering as it was then.
import type { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import type { Pour, pourPatchSchema } from "../../shared/wire/vessels.ts";
import { changedBy } from "./changed-by.ts";
import type { Sqlite } from "./sqlite.ts";

export type PourStore = ReturnType<typeof createPourStore>;

type PourRow = Omit<Pour, "struck" | "volumeL"> & { struck: number; volumeMl: number | null };

const select = `SELECT id, vessel_id AS vesselId, kind, into_id AS intoVesselId, at_ms AS atMs,
  volume_ml AS volumeMl, struck, note FROM pour`;

const pourFrom = ({ volumeMl, ...row }: PourRow): Pour => ({
  ...row,
  struck: row.struck === 1,
  volumeL: volumeMl === null ? null : volumeMl / 1000,
});

const rowFrom = ({ volumeL, struck, ...pour }: Omit<Pour, "id">) => ({
  ...pour,
  struck: struck ? 1 : 0,
  volumeMl: volumeL === null ? null : Math.round(volumeL * 1000),
});

export function createPourStore(sqlite: Sqlite) {
  const listAll = sqlite.prepare(`${select} ORDER BY at_ms, id`);
  const findOne = sqlite.prepare(`${select} WHERE id = ?`);
  const insertOne = sqlite.prepare(`INSERT INTO pour
    (vessel_id, kind, into_id, at_ms, volume_ml, struck, note)
    VALUES (@vesselId, @kind, @intoVesselId, @atMs, @volumeMl, @struck, @note)`);
  const updateOne = sqlite.prepare(`UPDATE pour
    SET at_ms = @atMs, volume_ml = @volumeMl, struck = @struck, note = @note WHERE id = @id`);

  /** Throws AppError "not-found". */
  function get(id: number): Pour {
    const row = findOne.get(id) as PourRow | undefined;
    if (!row) throw new AppError("not-found", `pour requires one that exists, got ${id}`);
    return pourFrom(row);
  }

  return {
    /** All in order of time, struck ones among them. */
    list: () => (listAll.all() as PourRow[]).map(pourFrom),
    get,
    /** The vessels must be there. */
    insert(pour: Omit<Pour, "id" | "struck">): Pour {
      const { lastInsertRowid } = insertOne.run(rowFrom({ ...pour, struck: false }));
      return get(Number(lastInsertRowid));
    },
    /** Throws AppError "not-found", and "conflict" for sap from elsewhere without a volume. */
    update(id: number, patch: z.output<typeof pourPatchSchema>): Pour {
      const old = get(id);
      const next = { ...changedBy(old, patch), id };
      requireVolume(next);
      updateOne.run({ ...rowFrom(next), id });
      return get(id);
    },
    ...createGatheredSap(sqlite),
  };
}

/** What comes from elsewhere has no "all there was". Throws AppError "conflict". */
export function requireVolume({ kind, volumeL }: Pick<Pour, "kind" | "volumeL">): void {
  if (kind !== "in" || volumeL !== null) return;
  throw new AppError("conflict", "pouring in from elsewhere requires its volumeL, got null");
}

function createGatheredSap(sqlite: Sqlite) {
  const put = sqlite.prepare(
    "INSERT OR REPLACE INTO gathered_sap (bucket_id, at_ms, sap) VALUES (?, ?, ?)",
  );
  const forget = sqlite.prepare("DELETE FROM gathered_sap WHERE bucket_id = ? AND at_ms >= ?");
  const list = sqlite.prepare(
    "SELECT bucket_id AS bucketId, at_ms AS atMs, sap FROM gathered_sap WHERE at_ms >= ?",
  );
  return {
    putGatheredSap(bucketId: string, atMs: number, sap: string): void {
      put.run(bucketId, atMs, sap);
    },
    /** A bucket's past is gone through again from there. */
    forgetGatheredSap(bucketId: string, fromMs: number): void {
      forget.run(bucketId, fromMs);
    },
    listGatheredSap: (fromMs: number) =>
      list.all(fromMs) as { bucketId: string; atMs: number; sap: string }[],
  };
}
