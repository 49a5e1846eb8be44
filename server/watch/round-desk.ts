// Brings together what the next round is planned from: buckets as they are judged, the sketch, the vessel being filled.

import { volumeLFromG } from "../../shared/sap/density.ts";
import { msPerDay } from "../../shared/units.ts";
import type { NextRound } from "../../shared/wire/rounds.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { RoundStore } from "../db/rounds.ts";
import type { Tracks } from "../db/tracks.ts";
import { nextRound } from "../domain/rounds/next-round.ts";
import type { RoundBucket } from "../domain/rounds/worth.ts";
import type { Roll } from "./roll.ts";
import type { VesselDesk } from "./vessel-desk.ts";
import type { Views } from "./views.ts";
import type { Watched } from "./watched.ts";
import type { YardDesk } from "./yard-desk.ts";

export type RoundDeskParts = {
  roll: Roll;
  views: Views;
  yardDesk: YardDesk;
  vesselDesk: VesselDesk;
  rounds: RoundStore;
  tracks: Pick<Tracks, "sumFlow">;
  gatherings: Pick<GatheringStore, "list">;
};

/** Where no bucket has a cell, each is taken to be so full. */
const guessShare = 0.3;
const longestStandMs = 14 * msPerDay;

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
  const weighedIds = seen.flatMap(({ view }) =>
    view.volumeL === null || view.state === "parked" ? [] : [view.id],
  );
  const buckets = seen.map(
    ({ watched, view }): RoundBucket => ({
      ...view,
      bucketId: view.id,
      treeId: view.tree?.id ?? null,
      hasCell: view.cell !== null,
      overProbability: watched.assessment?.decision?.beforeAfterProbability ?? null,
      due: due.some(({ bucketIds }) => bucketIds.includes(view.id)),
      usualL:
        view.cell !== null || weighedIds.length === 0
          ? guessShare * view.capacityL
          : ranSinceEmptyL(parts, { watched, weighedIds, nowMs }),
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

/** What ran on average into the buckets that are weighed, since this one was hung or last emptied. */
function ranSinceEmptyL(
  { tracks, gatherings }: RoundDeskParts,
  on: { watched: Watched; weighedIds: readonly string[]; nowMs: number },
): number {
  const { watched, weighedIds, nowMs } = on;
  const bucketId = watched.bucket.id;
  const span = { fromMs: nowMs - longestStandMs, toMs: nowMs + 1 };
  const emptiedMs = gatherings
    .list({ ...span, bucketId })
    .filter(({ struck }) => !struck)
    .map(({ atMs }) => atMs);
  const hungMs = watched.hangings.at(-1)?.fromMs ?? 0;
  const sinceMs = Math.max(span.fromMs, hungMs, ...emptiedMs);
  const sumG = weighedIds.reduce((sum, id) => sum + tracks.sumFlow(id, sinceMs, nowMs).flowG, 0);
  return volumeLFromG(Math.max(0, sumG) / weighedIds.length);
}
