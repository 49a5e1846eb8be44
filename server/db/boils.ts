// Boils and the lines of their logs.
import type { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import {
  type Boil,
  type BoilEntry,
  type boilEntryPatchSchema,
  neededByKind,
} from "../../shared/wire/boils.ts";
import { changedBy } from "./changed-by.ts";
import type { Sqlite } from "./sqlite.ts";

export type BoilRecord = Omit<Boil, "account" | "watch">;
type BoilRow = Omit<BoilRecord, "entries">;
export type NewEntry = Omit<BoilEntry, "id">;
/** An entry with the boil it belongs to. */
export type FoundEntry = BoilEntry & { boilId: number };

export type BoilStore = ReturnType<typeof createBoilStore>;

const boilColumns = `id, started_ms AS startedMs, ended_ms AS endedMs, aim_brix AS aimBrix,
  pan_area_m2 AS panAreaM2, fuel, arch, moisture_fraction AS moistureFraction, note`;
const entryColumns = `id, boil_id AS boilId, at_ms AS atMs, kind, volume_l AS volumeL, brix,
  temp_c AS tempC, offset_c AS offsetC, pressure_pa AS pressurePa, amount, vessel_id AS vesselId,
  pour_id AS pourId`;

export function createBoilStore(sqlite: Sqlite) {
  const listSpan = sqlite.prepare(
    `SELECT ${boilColumns} FROM boil WHERE started_ms >= ? AND started_ms < ? ORDER BY started_ms, id`,
  );
  const findOne = sqlite.prepare(`SELECT ${boilColumns} FROM boil WHERE id = ?`);
  const insertOne = sqlite.prepare(`INSERT INTO boil
    (started_ms, ended_ms, aim_brix, pan_area_m2, fuel, arch, moisture_fraction, note)
    VALUES (@startedMs, NULL, @aimBrix, @panAreaM2, @fuel, @arch, @moistureFraction, @note)`);
  const updateOne = sqlite.prepare(`UPDATE boil SET started_ms = @startedMs, ended_ms = @endedMs,
    aim_brix = @aimBrix, pan_area_m2 = @panAreaM2, fuel = @fuel, arch = @arch,
    moisture_fraction = @moistureFraction, note = @note WHERE id = @id`);
  const deleteOne = sqlite.prepare("DELETE FROM boil WHERE id = ?");
  const entries = createEntryStatements(sqlite);

  const whole = (row: BoilRow): BoilRecord => ({ ...row, entries: entries.ofBoil(row.id) });

  /** Throws AppError "not-found". */
  function get(id: number): BoilRecord {
    const row = findOne.get(id) as BoilRow | undefined;
    if (!row) throw new AppError("not-found", `boil requires one that exists, got ${id}`);
    return whole(row);
  }

  return {
    get,

    /** Those begun at or after `fromMs` and before `toMs`, oldest first. */
    list: ({ fromMs, toMs }: { fromMs: number; toMs: number }): BoilRecord[] =>
      (listSpan.all(fromMs, toMs) as BoilRow[]).map(whole),

    insert(boil: Omit<BoilRow, "id" | "endedMs">): BoilRecord {
      return get(Number(insertOne.run(boil).lastInsertRowid));
    },

    /** Throws AppError "not-found", and "conflict" when it would end before it began. */
    update(
      id: number,
      patch: Partial<{ [K in keyof BoilRow]: BoilRow[K] | undefined }>,
    ): BoilRecord {
      const { entries: _, ...row } = get(id);
      const next = changedBy(row, patch);
      if (next.endedMs !== null && next.endedMs < next.startedMs) {
        throw new AppError(
          "conflict",
          `endedMs requires a time from startedMs ${next.startedMs} on, got ${next.endedMs}`,
        );
      }
      updateOne.run(next);
      return get(id);
    },

    /** With its log. Throws AppError "not-found". */
    remove(id: number): void {
      get(id);
      deleteOne.run(id);
    },

    ...entries,
  };
}

function createEntryStatements(sqlite: Sqlite) {
  const list = sqlite.prepare(
    `SELECT ${entryColumns} FROM boil_entry WHERE boil_id = ? ORDER BY at_ms, id`,
  );
  const find = sqlite.prepare(`SELECT ${entryColumns} FROM boil_entry WHERE id = ?`);
  const insert = sqlite.prepare(`INSERT INTO boil_entry
    (boil_id, at_ms, kind, volume_l, brix, temp_c, offset_c, pressure_pa, amount, vessel_id, pour_id)
    VALUES (@boilId, @atMs, @kind, @volumeL, @brix, @tempC, @offsetC, @pressurePa, @amount, @vesselId,
    @pourId)`);
  const update = sqlite.prepare(`UPDATE boil_entry SET at_ms = @atMs, volume_l = @volumeL,
    brix = @brix, temp_c = @tempC, pressure_pa = @pressurePa, amount = @amount WHERE id = @id`);
  const remove = sqlite.prepare("DELETE FROM boil_entry WHERE id = ?");

  /** Throws AppError "not-found". */
  function getEntry(id: number): FoundEntry {
    const row = find.get(id) as FoundEntry | undefined;
    if (!row) throw new AppError("not-found", `boil entry requires one that exists, got ${id}`);
    return row;
  }

  return {
    getEntry,
    ofBoil: (boilId: number): BoilEntry[] =>
      (list.all(boilId) as FoundEntry[]).map(({ boilId: _, ...entry }) => entry),
    /** Throws AppError "conflict" when what its kind needs is missing. */
    insertEntry(boilId: number, entry: NewEntry): void {
      requireNeeded(entry);
      insert.run({ ...entry, boilId });
    },
    /** Throws AppError "not-found", and "conflict" as insertEntry. */
    updateEntry(id: number, patch: z.output<typeof boilEntryPatchSchema>): FoundEntry {
      const next = changedBy(getEntry(id), patch);
      requireNeeded(next);
      update.run(next);
      return getEntry(id);
    },
    /** Throws AppError "not-found". */
    removeEntry(id: number): void {
      getEntry(id);
      remove.run(id);
    },
  };
}

function requireNeeded(entry: NewEntry): void {
  const needed = neededByKind[entry.kind];
  if (entry[needed] !== null) return;
  throw new AppError("conflict", `an entry of kind ${entry.kind} requires ${needed}, got nothing`);
}
