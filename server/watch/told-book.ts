// Keeps what forecasts told, books what came, and learns from both once a day how to tell it better.
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { AirToldStore } from "../db/air-told.ts";
import type { ToldStore } from "../db/told.ts";
import { type Calibration, calibrationFrom, uncalibrated } from "../domain/brim/calibration.ts";
import { airScaleFrom, airToldBy } from "../domain/brim/outlook-errors.ts";
import type { AirPoint } from "../domain/keeping/air-ahead.ts";
import type { Assessment } from "./assess.ts";

const keepEveryMs = 3 * msPerHour;
const keepAirEveryMs = 6 * msPerHour;
/** A season is learnt from, not the one before. */
const rememberedMs = 60 * msPerDay;

export type ToldBook = ReturnType<typeof createToldBook>;

export type ToldBookParts = { told: ToldStore; airTold: AirToldStore };

export function createToldBook({ told, airTold }: ToldBookParts) {
  const keptSlots = new Map<string, number>();
  let day = Number.NaN;
  let calibrations = { withOutlook: uncalibrated, without: uncalibrated };
  const learn = (nowMs: number, hasOutlook: boolean): Calibration =>
    calibrationFrom(told.listClosed({ hasOutlook, sinceMs: nowMs - rememberedMs }));
  const airScale = (nowMs: number) => airScaleFrom(airTold.listClosed(nowMs - rememberedMs), nowMs);
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
        airTold.closeUntil(nowMs - msPerHour);
        calibrations = {
          withOutlook: { ...learn(nowMs, true), airScale: airScale(nowMs) },
          without: learn(nowMs, false),
        };
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
    /** The air that the first new outlook in each six hours tells, to be held against what the bucket's board measures. */
    keepAir(
      bucketId: string,
      { atMs, airC, outlook }: { atMs: number; airC: number; outlook: readonly AirPoint[] },
    ): void {
      const newestMs = airTold.newestMs();
      if (newestMs !== null && atMs - newestMs < keepAirEveryMs) return;
      for (const one of airToldBy(outlook, { atMs, airC })) {
        airTold.put({ bucketId, atMs, ...one });
      }
    },
  };
}
