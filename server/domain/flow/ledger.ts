// Books every gram: ten-minute slots of what came in, by the masses at their ends and the events between.
import type { FlowEstimate, FlowEvent, Slot } from "../bucket.ts";
import { type Lid, lidAfter, startLid } from "./lid.ts";

/** Sums over the estimates of the slot that is open; JSON-safe. */
type OpenSlot = {
  endMs: number;
  count: number;
  netG: number;
  flowSum: number;
  lowSum: number;
  highSum: number;
  airCount: number;
  airSum: number;
  localHour?: number | undefined;
  full: boolean;
};

/** JSON-safe. Sap level: net mass with all that events added or took given back. */
export type LedgerState = {
  /** Sum of all events so far. */
  eventsG: number;
  /** Sap level up to which inflow has been handed out in slots; null before the first estimate. */
  bookedG: number | null;
  /** Sap level at the last estimate. */
  levelG: number;
  lid: Lid;
  /** At the last estimate the wood was certainly frozen. */
  frozen: boolean;
  open: OpenSlot | null;
};

export type LedgerInput = {
  estimate: FlowEstimate;
  events: readonly FlowEvent[];
  airC?: number | undefined;
  localHour?: number | undefined;
};

export const slotMs = 600_000;

export function startLedger(): LedgerState {
  return { eventsG: 0, bookedG: null, levelG: 0, lid: startLid(), frozen: false, open: null };
}

/**
 * Books one estimate, in the order of time, with the events that came to light with it. A slot is handed out
 * with the first estimate past its end. There is none for ten minutes without an estimate, or with the bucket
 * away; what came in meanwhile is in the next slot.
 */
export function stepLedger(
  ledger: LedgerState,
  input: LedgerInput,
): { ledger: LedgerState; slots: Slot[] } {
  const { estimate, events } = input;
  const eventsG = events.reduce((sum, event) => sum + event.deltaG, ledger.eventsG);
  const closed = closedBefore(ledger, estimate.atMs);
  if (estimate.starting || estimate.away) {
    return { ledger: { ...closed.ledger, eventsG }, slots: closed.slots };
  }
  const settledG = settledIn(closed.ledger, estimate.netG - eventsG, estimate);
  const { airC } = input;
  const { lid, meltedG } = lidAfter(closed.ledger.lid, { estimate, events, airC, settledG });
  const putOnG = eventsG + settledG - meltedG;
  const levelG = estimate.netG - putOnG;
  return {
    ledger: {
      eventsG: putOnG,
      bookedG: closed.ledger.bookedG ?? levelG,
      levelG,
      lid,
      frozen: estimate.frozen,
      open: slotWith(closed.ledger.open, input),
    },
    slots: closed.slots,
  };
}

/** What settles in frost is snow and rime: it counts as put on, and the sap stays where it was. */
function settledIn(ledger: LedgerState, levelG: number, { frozen }: FlowEstimate): number {
  const isFrost = frozen && ledger.frozen && ledger.bookedG !== null;
  return isFrost ? levelG - ledger.levelG : 0;
}

function closedBefore(ledger: LedgerState, atMs: number): { ledger: LedgerState; slots: Slot[] } {
  const { bookedG, levelG, open } = ledger;
  if (open === null || bookedG === null || atMs <= open.endMs) {
    return { ledger, slots: [] };
  }
  const { count } = open;
  const slot: Slot = {
    atMs: open.endMs,
    netG: open.netG,
    inflowG: levelG - bookedG,
    flowGPerH: open.flowSum / count,
    lowGPerH: open.lowSum / count,
    highGPerH: open.highSum / count,
    ...(open.airCount === 0 ? {} : { airC: open.airSum / open.airCount }),
    ...(open.localHour === undefined ? {} : { localHour: open.localHour }),
    full: open.full,
  };
  return { ledger: { ...ledger, bookedG: levelG, open: null }, slots: [slot] };
}

function slotWith(open: OpenSlot | null, { estimate, airC, localHour }: LedgerInput): OpenSlot {
  const before = open ?? {
    endMs: Math.ceil(estimate.atMs / slotMs) * slotMs,
    count: 0,
    flowSum: 0,
    lowSum: 0,
    highSum: 0,
    airCount: 0,
    airSum: 0,
    full: false,
  };
  return {
    endMs: before.endMs,
    count: before.count + 1,
    netG: estimate.netG,
    flowSum: before.flowSum + estimate.flowGPerH,
    lowSum: before.lowSum + estimate.lowGPerH,
    highSum: before.highSum + estimate.highGPerH,
    airCount: before.airCount + (airC === undefined ? 0 : 1),
    airSum: before.airSum + (airC ?? 0),
    localHour,
    full: before.full || estimate.full,
  };
}
