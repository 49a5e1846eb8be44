// Keeps what forecasts told, books what came, and learns from both once a day how to tell it better.
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { ToldStore } from "../db/told.ts";
import { type Calibration, calibrationFrom, uncalibrated } from "../domain/brim/calibration.ts";
import type { Assessment } from "./assess.ts";

const keepEveryMs = 3 * msPerHour;
/** A season is learnt from, not the one before. */
const rememberedMs = 60 * msPerDay;

export type ToldBook = ReturnType<typeof createToldBook>;

export function createToldBook({ told }: { told: ToldStore }) {
  const keptSlots = new Map<string, number>();
  let day = Number.NaN;
  let calibrations = { withOutlook: uncalibrated, without: uncalibrated };
  const learn = (nowMs: number, hasOutlook: boolean): Calibration =>
    calibrationFrom(told.listClosed({ hasOutlook, sinceMs: nowMs - rememberedMs }));
  const slotOf = (atMs: number) => Math.floor(atMs / keepEveryMs);
  const keptSlotOf = (bucketId: string) =>
    keptSlots.get(bucketId) ?? slotOf(told.newestMs(bucketId) ?? 0);
  return {
    calibration(nowMs: number, hasOutlook: boolean): Calibration {
      const today = Math.floor(nowMs / msPerDay);
      // Buckets are gone through side by side: none takes another's day back.
      if (!(today <= day)) {
        day = today;
        told.closeUntil(nowMs - msPerHour);
        calibrations = { withOutlook: learn(nowMs, true), without: learn(nowMs, false) };
      }
      return hasOutlook ? calibrations.withOutlook : calibrations.without;
    },
    /** What was kept or booked last may be undone. */
    undone(): void {
      keptSlots.clear();
      day = Number.NaN;
    },
    /** The first forecast in each three hours. */
    keep(bucketId: string, { atMs, outlook, told: latest }: Assessment): void {
      const slot = slotOf(atMs);
      if (latest === null || slot <= keptSlotOf(bucketId)) return;
      keptSlots.set(bucketId, slot);
      const hasOutlook = outlook === "used";
      for (const lead of latest) told.put({ bucketId, atMs, hasOutlook, ...lead });
    },
  };
}
