// The sketch of the yard, the round a person is on, and the ice that was thrown out.
import { AppError } from "../../shared/errors.ts";
import type { CurrentRound, NextRound, WalkedRound } from "../../shared/wire/rounds.ts";
import type { Settings } from "./settings.ts";
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";

export type RoundStore = ReturnType<typeof createRoundStore>;

export type StoredRound = Pick<CurrentRound, "startedMs" | "plan">;
export type StoredIce = { id: number; bucketId: string; atMs: number; massKg: number };
type Place = { place: string; xM: number; yM: number };
type Leg = { fromPlace: string; toPlace: string; distanceM: number };

/** Two pails of 8 kg (own estimate). */
const usualCarryKg = 16;

export function createRoundStore(
  sqlite: Sqlite,
  settings: Pick<Settings, "getSetting" | "setSetting" | "removeSetting">,
) {
  return {
    ...createSketch(sqlite, settings),
    ...createIce(sqlite),
    carryKg: () => (settings.getSetting("carry-kg") as number | undefined) ?? usualCarryKg,
    setCarryKg: (carryKg: number) => settings.setSetting("carry-kg", carryKg),
    ...createWalked(sqlite),
    /** The round a person is on; undefined when nobody is. */
    current: () => settings.getSetting("round") as StoredRound | undefined,
    start: (startedMs: number, plan: NextRound) =>
      settings.setSetting("round", { startedMs, plan }),
    end: () => settings.removeSetting("round"),
  };
}

type WalkedRow = Omit<StoredWalk, "plannedL"> & { plannedMl: number };
export type StoredWalk = Omit<WalkedRound, "gatheredL" | "gatheredBuckets">;

function createWalked(sqlite: Sqlite) {
  const insertOne = sqlite.prepare(`INSERT OR REPLACE INTO walked_round
    (started_ms, ended_ms, trips, buckets, planned_ml, planned_minutes)
    VALUES (@startedMs, @endedMs, @trips, @buckets, @plannedMl, @plannedMinutes)`);
  const listSpan = sqlite.prepare(`SELECT started_ms AS startedMs, ended_ms AS endedMs, trips,
      buckets, planned_ml AS plannedMl, planned_minutes AS plannedMinutes
    FROM walked_round WHERE started_ms >= @fromMs AND started_ms < @toMs ORDER BY started_ms`);
  return {
    insertWalked({ startedMs, plan }: StoredRound, endedMs: number | null): void {
      insertOne.run({
        startedMs,
        endedMs,
        trips: plan.trips.length,
        buckets: plan.trips.flatMap(({ stops }) => stops).length,
        plannedMl: Math.round(plan.volumeL * 1000),
        plannedMinutes: plan.minutes,
      });
    },
    /** Oldest first. */
    listWalked: (span: { fromMs: number; toMs: number }): StoredWalk[] =>
      (listSpan.all(span) as WalkedRow[]).map(({ plannedMl, ...walk }) => ({
        ...walk,
        plannedL: plannedMl / 1000,
      })),
  };
}

type Setting = Pick<Settings, "getSetting" | "setSetting">;

function createSketch(sqlite: Sqlite, settings: Setting) {
  const places = sqlite.prepare("SELECT place, x_m AS xM, y_m AS yM FROM sketch_place");
  const putOne = sqlite.prepare(
    "INSERT OR REPLACE INTO sketch_place (place, x_m, y_m) VALUES (@place, @xM, @yM)",
  );
  const takeOff = sqlite.prepare("DELETE FROM sketch_place WHERE place = ?");
  const legs = sqlite.prepare(
    `SELECT from_place AS fromPlace, to_place AS toPlace, distance_m AS distanceM
     FROM paced_leg ORDER BY 1, 2`,
  );
  const putLeg = sqlite.prepare(`INSERT OR REPLACE INTO paced_leg (from_place, to_place, distance_m)
    VALUES (min(@fromPlace, @toPlace), max(@fromPlace, @toPlace), @distanceM)`);
  const forgetLeg = sqlite.prepare(`DELETE FROM paced_leg
    WHERE from_place = min(@fromPlace, @toPlace) AND to_place = max(@fromPlace, @toPlace)`);

  const listLaidOut = () => (settings.getSetting("sketch-laid-out") as string[] | undefined) ?? [];

  type Put = Pick<Place, "place"> & { xM: number | null; yM: number | null };
  function put(list: readonly Put[], laidOut = false) {
    const names = list.map(({ place }) => place);
    const others = listLaidOut().filter((place) => !names.includes(place));
    settings.setSetting("sketch-laid-out", laidOut ? [...others, ...names] : others);
    for (const one of list) {
      if (one.xM === null || one.yM === null) takeOff.run(one.place);
      else putOne.run(one);
    }
  }

  function pace(list: readonly (Omit<Leg, "distanceM"> & { distanceM: number | null })[]): void {
    for (const { fromPlace, toPlace, distanceM } of list) {
      if (distanceM === null) forgetLeg.run({ fromPlace, toPlace });
      else putLeg.run({ fromPlace, toPlace, distanceM });
    }
  }

  return {
    listPlaces: () => places.all() as Place[],
    listPaced: () => legs.all() as Leg[],
    /** Places that were only laid out in rows and never moved since. */
    listLaidOut,
    /** Null takes a place off the sketch; `laidOut` says that they only stand in rows so far. */
    putPlaces: transactional(sqlite, put),
    /** Null forgets a paced distance; the two ends must differ. */
    putPaced: transactional(sqlite, pace),
  };
}

function createIce(sqlite: Sqlite) {
  const columns = "id, bucket_id AS bucketId, at_ms AS atMs, mass_g / 1000.0 AS massKg";
  const listAll = sqlite.prepare(`SELECT ${columns} FROM ice_thrown ORDER BY at_ms, id`);
  const findOne = sqlite.prepare(`SELECT ${columns} FROM ice_thrown WHERE id = ?`);
  const insertOne = sqlite.prepare(
    "INSERT INTO ice_thrown (bucket_id, at_ms, mass_g) VALUES (@bucketId, @atMs, @massG)",
  );
  const deleteOne = sqlite.prepare("DELETE FROM ice_thrown WHERE id = ?");
  return {
    /** Oldest first. */
    listIce: () => listAll.all() as StoredIce[],
    insertIce({ massKg, ...ice }: Omit<StoredIce, "id">): StoredIce {
      const { lastInsertRowid } = insertOne.run({ ...ice, massG: Math.round(massKg * 1000) });
      return findOne.get(lastInsertRowid) as StoredIce;
    },
    /** Throws AppError "not-found". */
    getIce(id: number): StoredIce {
      const ice = findOne.get(id) as StoredIce | undefined;
      if (ice !== undefined) return ice;
      throw new AppError("not-found", `ice requires an entry that exists, got ${id}`);
    },
    removeIce(id: number): void {
      deleteOne.run(id);
    },
  };
}
