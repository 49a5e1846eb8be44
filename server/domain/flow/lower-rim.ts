// A rim below the one on record: sap that stops rising at one level and runs on as soon as the bucket was emptied.
import { msPerHour } from "../../../shared/units.ts";
import type { BucketSetup, FlowEvent, Slot } from "../bucket.ts";
import { slotMs } from "./ledger.ts";

/** What is remembered to tell it; plain JSON. */
export type RimWatch = {
  /** Of the last slots, g/h. */
  flowsGPerH: readonly number[];
  /** Where it stands still since when, and what ran until then. */
  stood: Stood | null;
  /** It was emptied after it had stood: does it run on? */
  emptied: (Stood & { emptiedMs: number }) | null;
  /** Levels at which it stood and ran on once emptied, g net, the newest last. */
  levelsG: readonly number[];
};
type Stood = { sinceMs: number; levelG: number; ranGPerH: number };

// All own choice, no source. A tree stops slowly; a rim stops the rise from one reading to the next.
const slotsPerHour = msPerHour / slotMs;
const slotsBefore = 3;
const leastRanGPerH = 120;
const stillShare = 0.1;
const leastAirC = 1;
const leastStoodMs = 0.5 * msPerHour;
const runsOnWithinMs = msPerHour;
const runsOnShare = 0.5;
const leastFillShare = 0.4;
const sameLevelG = 300;
const levelsKept = 3;

export function startRimWatch(): RimWatch {
  return { flowsGPerH: [], stood: null, emptied: null, levelsG: [] };
}

/** True once it stood still and ran on twice in a row at the same level, clearly below the rim on record. */
export function hasLowerRim({ levelsG }: RimWatch, { capacityG }: BucketSetup): boolean {
  const [before, last] = levelsG.slice(-2);
  if (before === undefined || last === undefined) return false;
  return Math.abs(last - before) <= sameLevelG && last < capacityG - sameLevelG;
}

/** With what people did to the bucket: only emptying shows whether the tree had gone on. */
export function rimAfterEvents(watch: RimWatch, events: readonly FlowEvent[]): RimWatch {
  const emptying = events.find(({ kind }) => kind === "emptied");
  if (emptying === undefined) return watch;
  const { stood } = watch;
  const isTelling = stood !== null && emptying.atMs - stood.sinceMs >= leastStoodMs;
  const emptied = isTelling ? { ...stood, emptiedMs: emptying.untilMs } : null;
  return { ...watch, flowsGPerH: [], stood: null, emptied };
}

/** With ten more minutes. */
export function rimAfterSlot(watch: RimWatch, slot: Slot, setup: BucketSetup): RimWatch {
  const flowGPerH = slot.inflowG * slotsPerHour;
  const flowsGPerH = [...watch.flowsGPerH, flowGPerH].slice(-slotsBefore);
  const next = { ...watch, flowsGPerH };
  if (watch.emptied !== null) return afterEmptying(next, watch.emptied, slot);
  if (watch.stood !== null) {
    return isStill(slot, watch.stood) ? next : { ...next, stood: null };
  }
  return { ...next, stood: stoppedAt(watch.flowsGPerH, slot, setup) };
}

function afterEmptying(
  watch: RimWatch,
  { emptiedMs, levelG, ranGPerH }: NonNullable<RimWatch["emptied"]>,
  slot: Slot,
): RimWatch {
  // What it ran while it was off its cell is not known.
  if (slot.atMs - slotMs < emptiedMs) return watch;
  if (slot.inflowG * slotsPerHour >= runsOnShare * ranGPerH) {
    return { ...watch, emptied: null, levelsG: [...watch.levelsG, levelG].slice(-levelsKept) };
  }
  return slot.atMs - emptiedMs > runsOnWithinMs ? { ...watch, emptied: null } : watch;
}

function stoppedAt(flowsGPerH: readonly number[], slot: Slot, setup: BucketSetup): Stood | null {
  if (flowsGPerH.length < slotsBefore || slot.full || (slot.airC ?? 0) < leastAirC) return null;
  const ranGPerH = Math.min(...flowsGPerH.slice(0, -1));
  const stood = { sinceMs: slot.atMs, levelG: slot.netG, ranGPerH };
  const isHigh = slot.netG >= leastFillShare * setup.capacityG;
  return isHigh && ranGPerH >= leastRanGPerH && isStill(slot, stood) ? stood : null;
}

function isStill({ inflowG, netG, airC }: Slot, { ranGPerH, levelG }: Stood): boolean {
  const isWarm = (airC ?? leastAirC) >= 0;
  const isSame = Math.abs(netG - levelG) <= sameLevelG / 2;
  return isWarm && isSame && Math.abs(inflowG) * slotsPerHour <= stillShare * ranGPerH;
}
