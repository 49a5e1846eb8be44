// Buckets, estimates and past days that the brim tests start from.
import type { BrimPast } from "../../../../server/domain/brim/forecast.ts";
import {
  addToHistory,
  type FlowHistory,
  startHistory,
} from "../../../../server/domain/brim/history.ts";
import { learnSlot, startBrimMemory } from "../../../../server/domain/brim/memory.ts";
import type { BucketSetup, FlowEstimate, Slot } from "../../../../server/domain/bucket.ts";

export const nowMs = Date.parse("2026-03-14T12:00:00Z");
export const hourMs = 3_600_000;
export const dayMs = 24 * hourMs;
export const setup: BucketSetup = { emptyG: 900, capacityG: 10_000 };

export function estimateOf(changes: Partial<FlowEstimate> = {}): FlowEstimate {
  return {
    atMs: nowMs,
    netG: 5000,
    netSdG: 5,
    flowGPerH: 0,
    lowGPerH: 0,
    highGPerH: 0,
    away: false,
    full: false,
    starting: false,
    frozen: false,
    ...changes,
  };
}

export function slotOf(atMs: number, flowGPerH: number, changes: Partial<Slot> = {}): Slot {
  return {
    atMs,
    netG: 5000,
    inflowG: flowGPerH / 6,
    flowGPerH,
    lowGPerH: flowGPerH,
    highGPerH: flowGPerH,
    full: false,
    ...changes,
  };
}

/** The past `days` up to nowMs in ten-minute slots with the flow that holds at each instant. */
export function historyOf(days: number, flowAt: (atMs: number) => number): FlowHistory {
  let history = startHistory();
  for (let atMs = nowMs - days * dayMs + 600_000; atMs <= nowMs; atMs += 600_000) {
    history = addToHistory(history, slotOf(atMs, flowAt(atMs - 300_000)));
  }
  return history;
}

/** A run of flowGPerH from 11 to 18 h UTC every day. */
export function daytimeRun(flowGPerH: number): (atMs: number) => number {
  return (atMs) => {
    const hour = (atMs % dayMs) / hourMs;
    return hour >= 11 && hour < 18 ? flowGPerH : 0;
  };
}

/** What is known of a tree beside which nobody measures the air. */
export function unheardAir(history: FlowHistory): BrimPast {
  return { history, memory: startBrimMemory() };
}

/** A tree that ran by day for so many days, beside a thermometer. */
export function livedTree(days: number, flowGPerH = 300): BrimPast {
  let memory = startBrimMemory();
  const runAt = daytimeRun(flowGPerH);
  for (let atMs = nowMs - days * dayMs + 600_000; atMs <= nowMs; atMs += 600_000) {
    const airC = 1 + 5 * Math.cos(((atMs % dayMs) / dayMs - 14 / 24) * 2 * Math.PI);
    const slot = slotOf(atMs, runAt(atMs - 300_000), { airC });
    memory = learnSlot(memory, slot, { source: "gate", capacityG: setup.capacityG });
  }
  return { history: historyOf(days, runAt), memory };
}
