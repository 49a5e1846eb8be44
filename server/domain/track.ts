// All that is known of one bucket between two readings, and the one step from reading to reading.
import { msPerDay } from "../../shared/units.ts";
import { noonHourOf } from "./brim/air-past.ts";
import type { BrimPast } from "./brim/forecast.ts";
import { addToHistory, type FlowHistory, startHistory } from "./brim/history.ts";
import { type BrimMemory, learnSlot, startBrimMemory } from "./brim/memory.ts";
import { particlesFromText, textFromParticles } from "./brim/particles-text.ts";
import type { BucketReading, BucketSetup, FlowEvent, Slot } from "./bucket.ts";
import { flowEstimate, startFlow, stepFlow } from "./flow/flow.ts";
import { type LedgerState, slotMs, startLedger, stepLedger } from "./flow/ledger.ts";
import { type RimWatch, rimAfterEvents, rimAfterSlot, startRimWatch } from "./flow/lower-rim.ts";
import type { FlowState } from "./flow/state.ts";
import { type KeepingState, startKeeping, stepKeeping } from "./keeping/keeping.ts";

/** Written down as a checkpoint, and continued from there with the same numbers. */
export type Track = {
  /** How the figures below were reckoned: what another way left behind can't be continued. */
  model: number;
  /** Which span of the bucket's history this continues; null before the first reading. */
  hangingId: number | null;
  /** Time of the first and the last reading gone through. */
  firstMs: number | null;
  atMs: number | null;
  /** Usual time between readings. */
  intervalMs: number;
  /** Gross weight of the last reading as it came. */
  massG: number | null;
  airC: number | null;
  lastSlotMs: number | null;
  flow: FlowState;
  ledger: LedgerState;
  history: FlowHistory;
  brim: BrimMemory;
  keeping: KeepingState;
  rim: RimWatch;
};

export type TrackStep = { track: Track; events: FlowEvent[]; slots: Slot[] };

/** To be raised with every change after which the same readings give another track. */
const presentModel = 8;
const usualIntervalMs = 30_000;
const intervalShare = 0.2;
const longestIntervalMs = 3_600_000;

export function startTrack(): Track {
  return {
    model: presentModel,
    hangingId: null,
    firstMs: null,
    atMs: null,
    intervalMs: usualIntervalMs,
    massG: null,
    airC: null,
    lastSlotMs: null,
    flow: startFlow(),
    ledger: startLedger(),
    history: startHistory(),
    brim: startBrimMemory(),
    keeping: startKeeping(),
    rim: startRimWatch(),
  };
}

type Written = Omit<Track, "brim"> & { brim: Omit<BrimMemory, "trees"> & { trees: string } };

/** The track as it is written down. */
export function trackToJson(track: Track): string {
  const brim = { ...track.brim, trees: textFromParticles(track.brim.trees) };
  const written: Written = { ...track, brim };
  return JSON.stringify(written);
}

/** A track that was written down; undefined when it was reckoned in another way than today's. */
export function trackFromJson(text: string): Track | undefined {
  const { brim, ...track } = JSON.parse(text) as Written;
  if (track.model !== presentModel) return undefined;
  return { ...track, brim: { ...brim, trees: particlesFromText(brim.trees) } };
}

/** The same bucket hung elsewhere or of another make: what was weighed begins anew, the past stays. */
export function rehangTrack(track: Track, hangingId: number): Track {
  return { ...track, hangingId, flow: startFlow(), ledger: startLedger(), rim: startRimWatch() };
}

/** What the track has taught of how its tree runs. */
export function brimPastOf({ history, brim }: Track): BrimPast {
  return { history, memory: brim };
}

/** The track after one more reading, with the events and the full ten minutes it brought. */
export function advanceTrack(track: Track, reading: BucketReading, setup: BucketSetup): TrackStep {
  const step = stepFlow(track.flow, reading, setup);
  const estimate = flowEstimate(step.state, setup, reading.atMs);
  const { airC, localHour } = reading;
  const booked = stepLedger(track.ledger, { estimate, events: step.events, airC, localHour });
  // Written out: a spread of so many fields takes as long as a step of the filter.
  const heard: Track = {
    model: track.model,
    hangingId: track.hangingId,
    firstMs: track.firstMs ?? reading.atMs,
    atMs: reading.atMs,
    intervalMs: intervalAfter(track, reading.atMs),
    massG: reading.massG,
    airC: airC ?? null,
    lastSlotMs: track.lastSlotMs,
    flow: step.state,
    ledger: booked.ledger,
    history: track.history,
    brim: track.brim,
    keeping: track.keeping,
    rim: step.events.length === 0 ? track.rim : rimAfterEvents(track.rim, step.events),
  };
  return {
    track: booked.slots.reduce((before, slot) => trackWithSlot(before, slot, setup), heard),
    events: step.events,
    slots: booked.slots,
  };
}

/** The track after ten more minutes. */
export function trackWithSlot(track: Track, slot: Slot, setup: BucketSetup): Track {
  const sinceMs = track.lastSlotMs === null ? slotMs : slot.atMs - track.lastSlotMs;
  return {
    ...track,
    lastSlotMs: slot.atMs,
    rim: rimAfterSlot(track.rim, slot, setup),
    history: addToHistory(track.history, slot),
    brim: learnSlot(track.brim, slot, { source: `${track.hangingId}`, capacityG: setup.capacityG }),
    keeping: stepKeeping(track.keeping, {
      slot,
      dtMs: Math.min(sinceMs, msPerDay),
      washedMs: setup.washedMs,
      noonHour: noonHourOf(track.brim.air),
      sunShare: setup.sunShare,
      seasonDay: (slot.atMs - (track.firstMs ?? slot.atMs)) / msPerDay,
    }),
  };
}

function intervalAfter(track: Track, atMs: number): number {
  if (track.atMs === null) return track.intervalMs;
  const gapMs = Math.min(atMs - track.atMs, longestIntervalMs);
  return track.intervalMs + intervalShare * (gapMs - track.intervalMs);
}
