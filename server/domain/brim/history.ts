// One bucket's inflow of the last ten days in half hours: the past that the brim forecast draws its paths from.
import { msPerDay, msPerMinute } from "../../../shared/units.ts";
import type { Slot } from "../bucket.ts";

/** A whole number per half hour keeps the JSON of ten days under 2.5 kB. */
export type FlowHistory = {
  /** Number of the first half hour since the epoch. */
  firstStep: number;
  /** Mean inflow in g/h of each half hour, null when nothing was heard; negative is scale noise. */
  flowGPerH: (number | null)[];
  /** Slots that the newest half hour is the mean of. */
  newestSlots: number;
};

export const historyStepMs = 30 * msPerMinute;
export const historyDays = 10;
export const historyStepsPerDay = msPerDay / historyStepMs;
const mostSteps = historyDays * historyStepsPerDay;
const slotsPerH = 6;

export function startHistory(): FlowHistory {
  return { firstStep: 0, flowGPerH: [], newestSlots: 0 };
}

/** The history with one more ten-minute slot; a slot older than the newest half hour is left out. */
export function addToHistory(history: FlowHistory, slot: Slot): FlowHistory {
  const step = Math.floor((slot.atMs - 1) / historyStepMs);
  const flow = slotFlow(slot);
  const ahead = step - (history.firstStep + history.flowGPerH.length - 1);
  if (history.flowGPerH.length === 0 || ahead >= mostSteps) {
    return { firstStep: step, flowGPerH: [Math.round(flow)], newestSlots: 1 };
  }
  if (ahead < 0) {
    return history;
  }
  if (ahead === 0) {
    const slots = history.newestSlots;
    const mean = ((history.flowGPerH.at(-1) ?? 0) * slots + flow) / (slots + 1);
    return {
      ...history,
      flowGPerH: [...history.flowGPerH.slice(0, -1), Math.round(mean)],
      newestSlots: slots + 1,
    };
  }
  const missed = new Array<null>(ahead - 1).fill(null);
  const all = [...history.flowGPerH, ...missed, Math.round(flow)];
  const tooMany = Math.max(0, all.length - mostSteps);
  return {
    firstStep: history.firstStep + tooMany,
    flowGPerH: all.slice(tooMany),
    newestSlots: 1,
  };
}

/** Mean inflow in g/h of the half hour with this number, null when unknown. */
export function flowAtStep(history: FlowHistory, step: number): number | null {
  return history.flowGPerH[step - history.firstStep] ?? null;
}

/** The ledger keeps a day's volume right; at the rim it only tells the least. */
function slotFlow(slot: Slot): number {
  const ledgerGPerH = slot.inflowG * slotsPerH;
  return slot.full ? Math.max(ledgerGPerH, slot.flowGPerH) : ledgerGPerH;
}
