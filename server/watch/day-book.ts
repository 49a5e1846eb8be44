// Keeps each bucket's days: sums of the ten-minute slots between two local midnights.
import { localParts, startOfLocalDayMs } from "../../shared/local-time.ts";
import { msPerHour } from "../../shared/units.ts";
import type { Tracks } from "../db/tracks.ts";
import type { WetStore } from "../db/wets.ts";
import type { Slot } from "../domain/bucket.ts";
import { dayFromSlots } from "../domain/days.ts";
import type { Watched } from "./watched.ts";

const beforeMs = 3 * msPerHour;

export type DayBook = ReturnType<typeof createDayBook>;

export function createDayBook(parts: { tracks: Tracks; wets: WetStore; timeZone: () => string }) {
  /** Instants of the days to sum up again, by bucket. */
  const touched = new Map<Watched, Map<string, number>>();

  /** A slot belongs to the day in which it began. */
  function touch(watched: Watched, slot: Pick<Slot, "atMs">): void {
    const days = touched.get(watched) ?? new Map<string, number>();
    const { dayKey } = localParts(slot.atMs - 1, parts.timeZone());
    days.set(dayKey, slot.atMs - 1);
    touched.set(watched, days);
  }

  /** Sums up what was touched. */
  function write(): void {
    for (const [watched, days] of touched) {
      for (const [dayKey, inDayMs] of days) writeDay(watched, dayKey, inDayMs);
    }
    touched.clear();
  }

  function writeDay(watched: Watched, dayKey: string, inDayMs: number): void {
    const timeZone = parts.timeZone();
    const startMs = startOfLocalDayMs(inDayMs, timeZone);
    const endMs = startOfLocalDayMs(startMs + 36 * msPerHour, timeZone);
    const slots = parts.tracks.listSlots(watched.bucket.id, startMs - beforeMs, endMs);
    const day = dayFromSlots(
      slots.filter(({ atMs }) => atMs > startMs),
      { dayKey, before: slots.filter(({ atMs }) => atMs <= startMs) },
    );
    const rainG = parts.wets.rainG(watched.bucket.id, startMs, endMs);
    const inflowG = day.inflowG - rainG;
    parts.tracks.insertDay({
      bucketId: watched.bucket.id,
      day: dayKey,
      inflowG,
      peakGPerH: day.peakGPerH,
      onsetMs: day.onsetMs,
      coveredMs: day.coveredMs,
      lowerBound: day.lowerBound,
      rainG,
    });
    // Days gone by are written again when it shows that it rained in them.
    if (dayKey >= (watched.today?.dayKey ?? "")) watched.today = { dayKey, inflowG };
  }

  return { touch, write };
}
