// Brings together what a vessel's contents are derived from: flows, weather, thermometers, the gathered sap.
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { Boards } from "../db/boards.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { PourStore } from "../db/pours.ts";
import type { Readings } from "../db/readings.ts";
import type { Tracks } from "../db/tracks.ts";
import type { VesselNote, VesselStanding, VesselStore } from "../db/vessels.ts";
import { startKeeping } from "../domain/keeping/keeping.ts";
import { memberCount } from "../domain/keeping/members.ts";
import type { SapBody } from "../domain/keeping/mixing.ts";
import type { ContentsInput } from "../domain/vessels/contents.ts";
import { type Flow, flowsFrom, sameGatheringMs } from "../domain/vessels/flows.ts";
import { freshBody, gatheredBody } from "../domain/vessels/fresh-sap.ts";
import type { MeasuredTemp } from "../domain/vessels/standing.ts";
import type { Roll } from "./roll.ts";
import type { Watched } from "./watched.ts";

export type SourceParts = {
  roll: Roll;
  vessels: VesselStore;
  pours: PourStore;
  gatherings: GatheringStore;
  tracks: Tracks;
  readings: Readings;
  boards: Boards;
};

/** Sap does not wait longer: what went in before is no longer looked at. */
const lookBackMs = 90 * msPerDay;
const usualAirC = 4;
const airHoldsMs = 6 * msPerHour;

/** All that vessels' contents at nowMs are derived from. */
export function vesselSources(parts: SourceParts, nowMs: number): ContentsInput {
  const sinceMs = nowMs - lookBackMs;
  const flows = flowsFrom({
    gatherings: parts.gatherings.list({ fromMs: sinceMs, toMs: nowMs + 1 }),
    pours: parts.pours.list().filter(({ atMs }) => atMs >= sinceMs),
    fillings: parts.vessels.listFillings(),
    said: parts.vessels.listGatheringVessels(),
  });
  const firstMs = flows[0]?.atMs ?? nowMs;
  const notes = parts.vessels.listNotes();
  const standings = parts.vessels.listStandings();
  const airC = airSince(parts, firstMs, nowMs);
  const tempsOf = measuredTemps(parts, { standings, notes, firstMs, nowMs });
  return {
    vesselIds: parts.vessels.list().map(({ id }) => id),
    flows,
    washings: notes.filter(({ kind }) => kind === "washed"),
    bodyOf: bodyFinder(parts, { firstMs, airC }),
    aroundOf: (vesselId, atMs) => ({
      airC,
      place: standingAt(standings, vesselId, atMs)?.place ?? "shade",
      measured: tempsOf.get(vesselId) ?? [],
    }),
    nowMs,
  };
}

export function standingAt(
  standings: readonly VesselStanding[],
  vesselId: string,
  atMs: number,
): VesselStanding | undefined {
  const own = standings.filter((one) => one.vesselId === vesselId);
  return own.findLast(({ fromMs }) => fromMs <= atMs) ?? own[0];
}

/** The bucket whose board last heard an air temperature stands for the whole yard's air. */
export function airBucket(roll: Roll): Watched | undefined {
  const heardMs = ({ track }: Watched) => track.keeping.airDay.lastAtMs ?? 0;
  const [newest] = roll.all().sort((a, b) => heardMs(b) - heardMs(a));
  return newest !== undefined && heardMs(newest) > 0 ? newest : undefined;
}

function airSince({ roll, tracks }: SourceParts, fromMs: number, nowMs: number) {
  const watched = airBucket(roll);
  const startMs = Math.floor(fromMs / msPerHour) * msPerHour - msPerHour;
  const byHour = new Map<number, number>();
  if (watched !== undefined && nowMs > startMs) {
    const span = { fromMs: startMs, toMs: nowMs, stepMs: msPerHour };
    const groups = tracks.listSlotGroups({ bucketId: watched.bucket.id, ...span });
    for (const { atMs, airC } of groups) {
      if (airC !== null) byHour.set(Math.ceil(atMs / msPerHour), airC);
    }
  }
  const holdH = airHoldsMs / msPerHour;
  return (atMs: number): number | null => {
    const hour = Math.ceil(atMs / msPerHour);
    for (let back = 0; back <= holdH; back += 1) {
      const known = byHour.get(hour - back);
      if (known !== undefined) return known;
    }
    return null;
  };
}

function measuredTemps(
  { readings, boards }: SourceParts,
  span: { standings: VesselStanding[]; notes: VesselNote[]; firstMs: number; nowMs: number },
): Map<string, MeasuredTemp[]> {
  const temps = new Map<string, MeasuredTemp[]>();
  const add = (vesselId: string, list: MeasuredTemp[]) =>
    temps.set(
      vesselId,
      [...(temps.get(vesselId) ?? []), ...list].sort((a, b) => a.atMs - b.atMs),
    );
  for (const { vesselId, atMs, tempC } of span.notes) {
    if (tempC !== null) add(vesselId, [{ atMs, tempC, from: "typed" }]);
  }
  span.standings.forEach(({ vesselId, probe, fromMs }, index) => {
    const next = span.standings.slice(index + 1).find((one) => one.vesselId === vesselId);
    const [board = "", name = ""] = probe?.split("/") ?? [];
    const key = probe === null ? undefined : boards.findProbe(board, name)?.key;
    if (key === undefined) return;
    const hourly = readings.listHourlyTemperatures({
      probeKey: key,
      fromMs: Math.max(fromMs, span.firstMs),
      untilMs: next?.fromMs ?? span.nowMs + 1,
    });
    add(
      vesselId,
      hourly.map((one) => ({ ...one, from: "probe" as const })),
    );
  });
  return temps;
}

/** As the cell's bucket kept it, where that is known; else as fresh from the tap. */
function bodyFinder(
  { roll, pours }: SourceParts,
  { firstMs, airC }: { firstMs: number; airC: (atMs: number) => number | null },
): ContentsInput["bodyOf"] {
  const kept = pours.listGatheredSap(firstMs - sameGatheringMs);
  const { seasonDay, weekMeanC } = airBucket(roll)?.track.keeping ?? startKeeping();
  return (flow, volumeL) => {
    const sap = flow.gathering === null ? undefined : nearestSap(kept, flow);
    if (sap !== undefined) return gatheredBody(sap, volumeL);
    return freshBody(volumeL, { seasonDay, weekMeanC, airC: airC(flow.atMs) ?? usualAirC });
  };
}

function nearestSap(
  kept: readonly { bucketId: string; atMs: number; sap: string }[],
  { atMs, gathering }: Flow,
): SapBody | undefined {
  const near = kept
    .filter((one) => one.bucketId === gathering?.bucketId)
    .filter((one) => Math.abs(one.atMs - atMs) <= sameGatheringMs)
    .sort((a, b) => Math.abs(a.atMs - atMs) - Math.abs(b.atMs - atMs));
  const body = near[0] === undefined ? undefined : (JSON.parse(near[0].sap) as SapBody);
  // One written by a version with other members says nothing to this one.
  return body?.counts.length === memberCount && body.netG > 0 ? body : undefined;
}
