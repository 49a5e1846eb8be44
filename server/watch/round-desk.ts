// Brings together what the next round is planned from: buckets as they are judged, the sketch, the vessel being filled.
import type { NextRound } from "../../shared/wire/rounds.ts";
import type { RoundStore } from "../db/rounds.ts";
import { nextRound } from "../domain/rounds/next-round.ts";
import type { RoundBucket } from "../domain/rounds/worth.ts";
import type { Roll } from "./roll.ts";
import type { VesselDesk } from "./vessel-desk.ts";
import type { Views } from "./views.ts";
import type { YardDesk } from "./yard-desk.ts";

export type RoundDeskParts = {
  roll: Roll;
  views: Views;
  yardDesk: YardDesk;
  vesselDesk: VesselDesk;
  rounds: RoundStore;
};

/** Where no bucket has a cell, each is taken to be so full. */
const guessShare = 0.3;

/** What to gather now, as of nowMs. */
export function planNextRound(parts: RoundDeskParts, nowMs: number): NextRound {
  const { roll, views, yardDesk, vesselDesk, rounds } = parts;
  const filling = vesselDesk.views(nowMs).find((vessel) => vessel.filling);
  const seen = roll
    .all()
    .filter(({ bucket }) => bucket.role === "sap")
    .map((watched) => ({ watched, view: views.bucket(watched, nowMs) }));
  const { afterMs } = yardDesk.visits(nowMs);
  const { parts: todo } = views.doNow(nowMs, views.boards(nowMs));
  const due = todo.filter(({ verb, byMs }) => {
    return verb === "gather" || (verb === "boil" && byMs !== null && byMs <= afterMs);
  });
  const known = seen.flatMap(({ view }) =>
    view.volumeL === null || view.state === "parked" ? [] : [view.volumeL],
  );
  const meanL = known.reduce((sum, volumeL) => sum + volumeL, 0) / known.length;
  const buckets = seen.map(
    ({ watched, view }): RoundBucket => ({
      ...view,
      bucketId: view.id,
      treeId: view.tree?.id ?? null,
      hasCell: view.cell !== null,
      overProbability: watched.assessment?.decision?.beforeAfterProbability ?? null,
      due: due.some(({ bucketIds }) => bucketIds.includes(view.id)),
      usualL: known.length === 0 ? guessShare * view.capacityL : meanL,
    }),
  );
  return nextRound({
    nowMs,
    afterMs,
    buckets,
    places: rounds.listPlaces(),
    paced: rounds.listPaced(),
    laidOut: rounds.listLaidOut(),
    carryKg: rounds.carryKg(),
    vessel:
      filling === undefined
        ? null
        : {
            vesselId: filling.id,
            label: filling.label,
            freeL: Math.max(0, filling.capacityL - filling.volumeL),
          },
  });
}
