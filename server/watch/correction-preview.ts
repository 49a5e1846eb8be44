// What a corrected calibration would make of what a cell has weighed, without writing anything down.
import { setImmediate as nextTurn } from "node:timers/promises";
import type { Clock } from "../../shared/clock.ts";
import { localParts, startOfLocalDayMs } from "../../shared/local-time.ts";
import { volumeLFromG } from "../../shared/sap/density.ts";
import { kgFromG, msPerHour } from "../../shared/units.ts";
import type { CorrectionPreview } from "../../shared/wire/corrections.ts";
import type { Boards } from "../db/boards.ts";
import type { Countable } from "../db/corrections.ts";
import type { Readings } from "../db/readings.ts";
import type { Tracks } from "../db/tracks.ts";
import type { Slot } from "../domain/bucket.ts";
import { correctedReading, type ScaleSpan } from "../domain/correction.ts";
import {
  advanceTrack,
  rehangTrack,
  startTrack,
  type Track,
  trackFromJson,
} from "../domain/track.ts";
import { asHeard, nextPiece, type Piece } from "./pieces.ts";
import type { Roll } from "./roll.ts";
import { setupFrom, type Watched } from "./watched.ts";

export type PreviewParts = {
  clock: Clock;
  readings: Readings;
  boards: Boards;
  tracks: Tracks;
  roll: Roll;
  timeZone: () => string;
};

/** A correction with what was counted of the readings it applies to. */
export type Wish = { correction: ScaleSpan; counted: Countable };

type Days = { fromMs: number; toMs: number };

/** Litres of each local day that the span touches, as they are and as they would be. */
export async function previewCorrection(
  parts: PreviewParts,
  { correction, counted }: Wish,
): Promise<CorrectionPreview> {
  const timeZone = parts.timeZone();
  const days = {
    fromMs: startOfLocalDayMs(correction.fromMs, timeZone),
    toMs: startOfLocalDayMs(
      startOfLocalDayMs(correction.untilMs - 1, timeZone) + 36 * msPerHour,
      timeZone,
    ),
  };
  const buckets: CorrectionPreview["buckets"] = [];
  for (const watched of bucketsUnder(parts.roll, correction)) {
    const before = parts.tracks.listSlots(watched.bucket.id, days.fromMs, days.toMs);
    const after = await slotsAfter(parts, { watched, correction, days, before });
    buckets.push({ bucketId: watched.bucket.id, ...compared({ before, after }, timeZone) });
  }
  const { readings, withoutCounts, newestMs } = counted;
  const newest = newestOf(parts.readings, correction, newestMs ?? correction.fromMs);
  return { readings, withoutCounts, newest, buckets };
}

/** Buckets that hung on the cell at some time in the span. */
export function bucketsUnder(roll: Roll, { cellKey, fromMs, untilMs }: ScaleSpan): Watched[] {
  return roll
    .onCell(cellKey)
    .filter(({ hangings }) =>
      hangings.some(
        (hanging) =>
          hanging.cellKey === cellKey &&
          hanging.fromMs < untilMs &&
          (hanging.untilMs === null || hanging.untilMs > fromMs),
      ),
    );
}

type Replay = { watched: Watched; correction: ScaleSpan; days: Days; before: readonly Slot[] };

/** The slots of the days as they would be, by the same steps from reading to reading as live. */
async function slotsAfter(parts: PreviewParts, replay: Replay): Promise<Slot[]> {
  const { watched, correction, days } = replay;
  const checkpoint = parts.tracks.checkpointBefore(watched.bucket.id, correction.fromMs);
  let track = (checkpoint && trackFromJson(checkpoint.track)) ?? startTrack();
  const sameMs = track.atMs ?? 0;
  const after = replay.before.filter(({ atMs }) => atMs <= sameMs);
  const readings = correctedReadings(parts.readings, correction);
  const untilMs = Math.min(days.toMs, parts.clock.nowMs());
  for (;;) {
    const afterMs = track.atMs ?? 0;
    const { hangings } = watched;
    const piece = nextPiece(readings, { hangings, afterMs, untilMs });
    if (piece === undefined) return after;
    const through = throughPiece(parts, track, piece);
    track = through.track;
    after.push(...through.slots.filter(({ atMs }) => atMs > days.fromMs && atMs <= days.toMs));
    // A season is many pieces, and boards and pages wait meanwhile.
    await nextTurn();
  }
}

function throughPiece(parts: PreviewParts, before: Track, piece: Piece) {
  const { hanging } = piece;
  const slots: Slot[] = [];
  let track = hanging.id === before.hangingId ? before : rehangTrack(before, hanging.id);
  for (const reading of asHeard(parts, piece)) {
    const step = advanceTrack(track, reading, setupFrom(hanging));
    track = step.track;
    slots.push(...step.slots);
  }
  return { track, slots };
}

function correctedReadings(
  readings: Readings,
  correction: ScaleSpan,
): Pick<Readings, "listReadings"> {
  return {
    listReadings: (span) =>
      readings
        .listReadings(span)
        .map((reading) => correctedReading(reading, span.cellKey, [correction])),
  };
}

function compared(
  { before, after }: { before: readonly Slot[]; after: readonly Slot[] },
  timeZone: string,
) {
  const sums = new Map<string, { beforeG: number; afterG: number }>();
  const add = (slots: readonly Slot[], side: "beforeG" | "afterG") => {
    for (const { atMs, inflowG } of slots) {
      // A slot belongs to the day in which it began.
      const { dayKey } = localParts(atMs - 1, timeZone);
      const sum = sums.get(dayKey) ?? { beforeG: 0, afterG: 0 };
      sum[side] += inflowG;
      sums.set(dayKey, sum);
    }
  };
  add(before, "beforeG");
  add(after, "afterG");
  const days = [...sums]
    .sort(([one], [other]) => (one < other ? -1 : 1))
    .map(([day, { beforeG, afterG }]) => ({
      day,
      beforeL: litres(beforeG),
      afterL: litres(afterG),
    }));
  const total = (side: "beforeL" | "afterL") =>
    Number(days.reduce((sum, day) => sum + day[side], 0).toFixed(3));
  return { beforeL: total("beforeL"), afterL: total("afterL"), days };
}

function litres(massG: number): number {
  return Number(volumeLFromG(massG).toFixed(3));
}

function newestOf(readings: Readings, correction: ScaleSpan, atMs: number) {
  const { cellKey } = correction;
  const [newest] = readings.listReadings({ cellKey, fromMs: atMs, untilMs: atMs + 1 });
  const massG = newest?.massG ?? 0;
  const after = newest === undefined ? undefined : correctedReading(newest, cellKey, [correction]);
  return { atMs, beforeKg: kgFromG(massG), afterKg: kgFromG(after?.massG ?? massG) };
}
