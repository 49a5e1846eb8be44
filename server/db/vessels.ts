// Vessels as people describe them: how each stood from when on, which one was being filled, what was noted.
import type { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import type {
  Vessel,
  VesselPlace,
  vesselPatchSchema,
  vesselPostSchema,
} from "../../shared/wire/vessels.ts";
import { changedBy } from "./changed-by.ts";
import { uniqueIdFrom } from "./slug.ts";
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";

export type VesselStore = ReturnType<typeof createVesselStore>;

/** How a vessel stands from an instant on. */
export type VesselStanding = {
  vesselId: string;
  fromMs: number;
  capacityL: number;
  place: VesselPlace;
  probe: string | null;
};
/** From an instant on gatherings go into this vessel; null: into none. */
export type VesselFilling = { fromMs: number; vesselId: string | null };
export type VesselNote = {
  vesselId: string;
  atMs: number;
  kind: "washed" | "temperature";
  tempC: number | null;
};
/** Where a person says that a gathering went. */
export type GatheringVessel = { bucketId: string; atMs: number; vesselId: string | null };

type VesselRow = Omit<Vessel, "parked" | "filling"> & { parked: number };

const fillingNow = "SELECT vessel_id FROM vessel_filling ORDER BY from_ms DESC LIMIT 1";

export function createVesselStore(sqlite: Sqlite) {
  const records = createRecords(sqlite);
  return { ...records, ...createChanges(sqlite, records), ...createHistory(sqlite) };
}

function createRecords(sqlite: Sqlite) {
  const listAll = sqlite.prepare(`SELECT id, label, parked, capacity_l AS capacityL, place, probe
    FROM vessel JOIN vessel_standing ON vessel_id = id
     AND from_ms = (SELECT max(from_ms) FROM vessel_standing WHERE vessel_id = id)
    ORDER BY label, id`);
  const filling = sqlite.prepare(fillingNow).pluck();

  function list(): Vessel[] {
    const fillingId = filling.get() as string | null | undefined;
    return (listAll.all() as VesselRow[]).map(({ parked, ...row }) => ({
      ...row,
      parked: parked === 1,
      filling: row.id === fillingId,
    }));
  }

  /** Throws AppError "not-found". */
  function get(id: string): Vessel {
    const vessel = list().find((one) => one.id === id);
    if (!vessel) throw new AppError("not-found", `vessel requires one that exists, got ${id}`);
    return vessel;
  }
  return { list, get };
}

function createChanges(sqlite: Sqlite, { list, get }: ReturnType<typeof createRecords>) {
  const insertOne = sqlite.prepare("INSERT INTO vessel (id, label) VALUES (@id, @label)");
  const updateOne = sqlite.prepare("UPDATE vessel SET label = ?, parked = ? WHERE id = ?");
  const stand = sqlite.prepare(`INSERT OR REPLACE INTO vessel_standing
    (vessel_id, from_ms, capacity_l, place, probe) VALUES (@id, @fromMs, @capacityL, @place, @probe)`);
  const fill = sqlite.prepare(
    "INSERT OR REPLACE INTO vessel_filling (from_ms, vessel_id) VALUES (@fromMs, @vesselId)",
  );
  const deleteOne = sqlite.prepare("DELETE FROM vessel WHERE id = ?");
  const countPours = sqlite
    .prepare("SELECT count(*) FROM pour WHERE vessel_id = @id OR into_id = @id")
    .pluck();

  function insert(post: z.output<typeof vesselPostSchema>, nowMs: number): Vessel {
    const known = list();
    const id = uniqueIdFrom(post.label, "vessel", (taken) => known.some((one) => one.id === taken));
    const fromMs = post.fromMs ?? nowMs;
    insertOne.run({ id, label: post.label });
    const { capacityL, place, probe } = post;
    stand.run({ id, fromMs, capacityL, place, probe });
    if (post.filling ?? !known.some((one) => one.filling)) fill.run({ fromMs, vesselId: id });
    return get(id);
  }

  function update(id: string, patch: z.output<typeof vesselPatchSchema>, nowMs: number): Vessel {
    const { fromMs = nowMs, filling, ...change } = patch;
    const old = get(id);
    const next = changedBy(old, change);
    updateOne.run(next.label, next.parked ? 1 : 0, id);
    const { capacityL, place, probe } = next;
    const stands = [change.capacityL, change.place, change.probe].some((one) => one !== undefined);
    if (stands) stand.run({ id, fromMs, capacityL, place, probe });
    const stops = old.filling && (filling === false || (next.parked && filling !== true));
    if (filling === true) fill.run({ fromMs, vesselId: id });
    else if (stops) fill.run({ fromMs, vesselId: null });
    return get(id);
  }

  function remove(id: string): void {
    get(id);
    if ((countPours.get({ id }) as number) > 0) {
      throw new AppError(
        "conflict",
        `deleting vessel ${id} requires one that nothing was poured into or out of; put it away instead`,
      );
    }
    deleteOne.run(id);
  }

  return {
    insert: transactional(sqlite, insert),
    /** How it stands and what is being filled change from `fromMs`, now unless told. Throws AppError "not-found". */
    update: transactional(sqlite, update),
    /** Throws AppError "not-found", and "conflict" once anything was poured. */
    remove: transactional(sqlite, remove),
  };
}

function createHistory(sqlite: Sqlite) {
  const standings = sqlite.prepare(`SELECT vessel_id AS vesselId, from_ms AS fromMs,
    capacity_l AS capacityL, place, probe FROM vessel_standing ORDER BY from_ms`);
  const fillings = sqlite.prepare(
    "SELECT from_ms AS fromMs, vessel_id AS vesselId FROM vessel_filling ORDER BY from_ms",
  );
  const notes = sqlite.prepare(`SELECT vessel_id AS vesselId, at_ms AS atMs, kind,
    temp_cc / 100.0 AS tempC FROM vessel_note ORDER BY at_ms`);
  const putNote =
    sqlite.prepare(`INSERT OR REPLACE INTO vessel_note (vessel_id, at_ms, kind, temp_cc)
    VALUES (@vesselId, @atMs, @kind, @tempCc)`);
  const saidVessels = sqlite.prepare(
    "SELECT bucket_id AS bucketId, at_ms AS atMs, vessel_id AS vesselId FROM gathering_vessel",
  );
  const sayVessel = sqlite.prepare(`INSERT OR REPLACE INTO gathering_vessel
    (bucket_id, at_ms, vessel_id) VALUES (@bucketId, @atMs, @vesselId)`);
  return {
    /** All in order of time. */
    listStandings: () => standings.all() as VesselStanding[],
    listFillings: () => fillings.all() as VesselFilling[],
    listNotes: () => notes.all() as VesselNote[],
    insertNote({ tempC, ...note }: VesselNote): void {
      putNote.run({ ...note, tempCc: tempC === null ? null : Math.round(tempC * 100) });
    },
    listGatheringVessels: () => saidVessels.all() as GatheringVessel[],
    putGatheringVessel(said: GatheringVessel): void {
      sayVessel.run(said);
    },
  };
}
