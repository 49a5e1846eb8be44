// Writes down each hour what is forecast for a bucket and, a day later, what came of it; sums it all up.
import { gFromVolumeL } from "../../shared/sap/density.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { WarningRecord } from "../../shared/wire/record.ts";
import type { AlarmStore, StoredAlarm } from "../db/alarms.ts";
import { chanceEdges, type ForecastSaidStore } from "../db/forecast-said.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { Tracks } from "../db/tracks.ts";
import { type Fill, fillFigures } from "../domain/record/fills.ts";
import { outcomeMs, outcomeOf } from "../domain/record/outcome.ts";
import type { Said } from "../domain/record/said.ts";
import { countWarnings, type Overflow, type Warning } from "../domain/record/warnings.ts";
import { wasFoundAfterwards } from "./alarm-desk.ts";

export type RecordDeskParts = {
  forecastSaid: ForecastSaidStore;
  alarms: Pick<AlarmStore, "listOfKind">;
  gatherings: Pick<GatheringStore, "list">;
  tracks: Pick<Tracks, "sumFlow">;
  timeZone: () => string;
};

export type Judged = {
  bucketId: string;
  nowMs: number;
  said: Said | null;
  /** End of the newest ten minutes that were summed up. */
  lastSlotMs: number | null;
};

const keptMs = 400 * msPerDay;
/** Nothing is written down of a bucket that was not weighed for longer: its backlog may yet come. */
const unheardMs = msPerHour;
const active = { activeG: 100, slackG: 20 };
const inflowShare = 0.9;
const flowShare = 0.9;
const mostFills = 500;
const fill = { leastL: 1, longestMs: 4 * msPerDay, leastShare: 0.9, slotsPerH: 6 };

export type RecordDesk = ReturnType<typeof createRecordDesk>;

export function createRecordDesk(parts: RecordDeskParts) {
  /** By bucket, the hour that was written down last. */
  const saidMs = new Map<string, number>();
  return {
    /** At most one row a bucket and hour. */
    judged(judged: Judged): void {
      const hourMs = Math.floor(judged.nowMs / msPerHour) * msPerHour;
      if (saidMs.get(judged.bucketId) === hourMs) return;
      saidMs.set(judged.bucketId, hourMs);
      write(parts, judged, hourMs);
      closeDue(parts, judged);
    },
    /** What was written down last may be undone. */
    undone: () => saidMs.clear(),
    record: (nowMs: number): WarningRecord => recordOf(parts, nowMs),
  };
}

function write({ forecastSaid }: RecordDeskParts, judged: Judged, hourMs: number): void {
  const { bucketId, said } = judged;
  forecastSaid.forgetBefore(bucketId, hourMs - keptMs);
  const isHeard = judged.nowMs - (judged.lastSlotMs ?? 0) <= unheardMs;
  if (said !== null && isHeard) forecastSaid.insert({ ...said, bucketId, atMs: hourMs });
}

function closeDue({ forecastSaid }: RecordDeskParts, judged: Judged): void {
  const { bucketId, lastSlotMs } = judged;
  const untilMs = (lastSlotMs ?? 0) - outcomeMs;
  for (const { atMs, roomG } of forecastSaid.listOpen(bucketId, untilMs)) {
    const slots = forecastSaid.listWeighed(bucketId, atMs, atMs + outcomeMs);
    forecastSaid.close(bucketId, atMs, outcomeOf(slots, { fromMs: atMs, roomG }));
  }
}

function recordOf(parts: RecordDeskParts, nowMs: number): WarningRecord {
  const { forecastSaid, alarms } = parts;
  const warnings = alarms.listOfKind("brim").map((alarm) => warningFrom(parts, alarm));
  const overflows = alarms
    .listOfKind("brimful")
    .map(({ subject, raisedAtMs }): Overflow => ({ bucketId: subject, atMs: raisedAtMs }));
  return {
    sinceMs: forecastSaid.sinceMs(),
    warnings: countWarnings(warnings, overflows, parts.timeZone()),
    reliability: ([12, 24] as const).map((aheadH) => reliabilityOf(forecastSaid, aheadH)),
    inflow: { ...forecastSaid.inflowFigures(active), expectedShare: inflowShare },
    fills: { ...fillFigures(fillsOf(parts, nowMs)), expectedShare: flowShare },
  };
}

function warningFrom({ forecastSaid }: RecordDeskParts, alarm: StoredAlarm): Warning {
  const { subject, raisedAtMs } = alarm;
  const row = forecastSaid.outcomeAt(subject, raisedAtMs);
  const overMs = row?.overMs ?? null;
  const chance = row?.chance ?? 0;
  const afterwards = wasFoundAfterwards(alarm);
  const warning = { bucketId: subject, raisedMs: raisedAtMs, overMs, chance, afterwards };
  if (row === undefined) return { ...warning, known: "untold" };
  if (row.closed === 0) return { ...warning, known: "open" };
  return { ...warning, known: row.weighed === 1 ? "told" : "untold" };
}

function reliabilityOf(store: ForecastSaidStore, aheadH: 12 | 24) {
  const rows = store.reliability(aheadH);
  return {
    aheadH,
    count: rows.reduce((sum, { count }) => sum + count, 0),
    wentOver: rows.reduce((sum, { came }) => sum + came, 0),
    bins: rows.map(({ bin, count, told, came }) => ({
      fromShare: (chanceEdges[bin] ?? 0) / 100,
      untilShare: (chanceEdges[bin + 1] ?? 100) / 100,
      count,
      toldShare: told,
      cameShare: came / count,
    })),
  };
}

/** The newest gatherings that a cell saw, each with the flow since the one before. */
function fillsOf({ gatherings, tracks }: RecordDeskParts, nowMs: number): Fill[] {
  const all = gatherings.list({ fromMs: 0, toMs: nowMs + 1 }).slice(-mostFills);
  const lastMs = new Map<string, number>();
  return all.flatMap(({ bucketId, atMs, volumeL, by, struck }) => {
    const beforeMs = lastMs.get(bucketId);
    lastMs.set(bucketId, atMs);
    const isTelling = by === "cell" && !struck && volumeL >= fill.leastL;
    if (!isTelling || beforeMs === undefined || atMs - beforeMs > fill.longestMs) return [];
    const sums = tracks.sumFlow(bucketId, beforeMs, atMs);
    const expected = ((atMs - beforeMs) / msPerHour) * fill.slotsPerH;
    if (sums.full > 0 || sums.count < fill.leastShare * expected) return [];
    const { flowG, lowG, highG } = sums;
    return [{ gatheredG: gFromVolumeL(volumeL), flowG, lowG, highG }];
  });
}
