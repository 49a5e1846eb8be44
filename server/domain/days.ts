// Sums the ten-minute slots of one bucket's local day: sap, peak, when it began to run, and how much was heard.
import type { Slot } from "./bucket.ts";
import { slotMs } from "./flow/ledger.ts";

export type DaySummary = {
  dayKey: string;
  /** Sap by the mass ledger. */
  inflowG: number;
  peakGPerH: number;
  /** When sap began to run, the day's first such time. */
  onsetMs?: number;
  /** Time the slots stand for. */
  coveredMs: number;
  /** The bucket was at its rim: more ran than was weighed. */
  lowerBound: boolean;
};

const runningGPerH = 30;
const runningMs = 30 * 60_000;
const idleMs = 2 * 3_600_000;
const longestBridgeMs = 3_600_000;

/** Slots of one day, in the order of time; slots of the two hours before it help to tell an onset and count for nothing else. */
export function dayFromSlots(
  slots: readonly Slot[],
  day: { dayKey: string; before?: readonly Slot[] },
): DaySummary {
  const onsetMs = onsetOf(day.before ?? [], slots);
  return {
    dayKey: day.dayKey,
    inflowG: slots.reduce((sum, slot) => sum + slot.inflowG, 0),
    peakGPerH: slots.reduce((peak, slot) => Math.max(peak, slot.flowGPerH), 0),
    ...(onsetMs === undefined ? {} : { onsetMs }),
    coveredMs: coveredMsOf(slots),
    lowerBound: slots.some((slot) => slot.full),
  };
}

/** Ten minutes a slot, and the gaps between that the ledger bridged. */
function coveredMsOf(slots: readonly Slot[]): number {
  return slots.reduce((sum, slot, index) => {
    const sinceMs = slot.atMs - (slots[index - 1]?.atMs ?? slot.atMs - slotMs);
    return sum + (sinceMs <= longestBridgeMs ? sinceMs : slotMs);
  }, 0);
}

type Watch = { idleSinceMs: number; runSinceMs: number | undefined; lastMs: number };

/** Start of the first half hour of running that follows two idle hours; who was not heard was not idle. */
function onsetOf(before: readonly Slot[], slots: readonly Slot[]): number | undefined {
  const first = before[0] ?? slots[0];
  const dayFromMs = (slots[0]?.atMs ?? 0) - slotMs;
  if (first === undefined) {
    return undefined;
  }
  const startMs = first.atMs - slotMs;
  let watch: Watch = { idleSinceMs: startMs, runSinceMs: undefined, lastMs: startMs };
  for (const slot of [...before, ...slots]) {
    const { idleSinceMs, runSinceMs, lastMs } = watched(watch, slot);
    const isRun = runSinceMs !== undefined && lastMs - runSinceMs >= runningMs;
    if (isRun && runSinceMs >= dayFromMs && runSinceMs - idleSinceMs >= idleMs) {
      return runSinceMs;
    }
    watch = { idleSinceMs: isRun ? lastMs : idleSinceMs, runSinceMs, lastMs };
  }
  return undefined;
}

function watched(watch: Watch, slot: Slot): Watch {
  const fromMs = slot.atMs - slotMs;
  const isHeard = slot.atMs - watch.lastMs <= longestBridgeMs;
  const idleSinceMs = isHeard ? watch.idleSinceMs : fromMs;
  const runSinceMs = isHeard ? watch.runSinceMs : undefined;
  return {
    idleSinceMs,
    runSinceMs: slot.flowGPerH > runningGPerH ? (runSinceMs ?? fromMs) : undefined,
    lastMs: slot.atMs,
  };
}
