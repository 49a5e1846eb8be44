// What came of a forecast, had nobody touched the bucket: when sap would have run over, and how much came.
import { msPerHour } from "../../../shared/units.ts";
import type { Slot } from "../bucket.ts";
import { slotMs } from "../flow/ledger.ts";

export type WeighedSlot = Pick<Slot, "atMs" | "inflowG" | "full">;

export type ForecastOutcome = {
  /** Sap that came in the first 12 h. */
  came12G: number;
  /** When it would have run over within the 24 h; null when it would not. */
  overMs: number | null;
  /** Enough of the time was weighed to tell. */
  weighed: boolean;
};

export const outcomeMs = 24 * msPerHour;
const halfMs = 12 * msPerHour;
const leastShare = 0.9;

/** The outcome from the ten-minute slots of the 24 h after `fromMs`, in order; a gathering changes nothing. */
export function outcomeOf(
  slots: readonly WeighedSlot[],
  { fromMs, roomG }: { fromMs: number; roomG: number },
): ForecastOutcome {
  let cameG = 0;
  let came12G = 0;
  let overMs: number | null = null;
  for (const { atMs, inflowG, full } of slots) {
    cameG += inflowG;
    if (atMs <= fromMs + halfMs) came12G = cameG;
    if (overMs === null && (full || cameG >= roomG)) overMs = atMs;
  }
  const weighed = slots.length >= leastShare * (outcomeMs / slotMs) || overMs !== null;
  return { came12G, overMs, weighed };
}
