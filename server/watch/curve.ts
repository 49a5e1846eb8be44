// A bucket's curve: from ten-minute slots where the steps allow it, else from its readings gone through again.
import type { Clock } from "../../shared/clock.ts";
import { volumeLFromG } from "../../shared/sap/density.ts";
import { kgFromG } from "../../shared/units.ts";
import type { Curve } from "../../shared/wire/api.ts";
import type { Boards } from "../db/boards.ts";
import type { Readings } from "../db/readings.ts";
import type { SlotGroup, Tracks } from "../db/tracks.ts";
import type { BucketReading, BucketSetup } from "../domain/bucket.ts";
import { flowEstimate } from "../domain/flow/flow.ts";
import { slotMs } from "../domain/flow/ledger.ts";
import {
  advanceTrack,
  rehangTrack,
  startTrack,
  type Track,
  trackFromJson,
} from "../domain/track.ts";
import { createPastFlow, type PastFlow } from "./past-flow.ts";
import { asHeard, nextPiece } from "./pieces.ts";
import { rounded } from "./rounded.ts";
import { setupFrom, type Watched } from "./watched.ts";

export type CurveSpan = { fromMs: number; toMs: number; stepMs?: number };
type Parts = {
  clock: Clock;
  readings: Readings;
  boards: Boards;
  tracks: Tracks;
  timeZone: () => string;
};
type Step = SlotGroup;

const mostSteps = 1500;
const shortestStepMs = 1000;

/** At most 1,500 steps: stepMs is widened to fit. Steps without readings are null. */
export function curveOf(parts: Parts, watched: Watched, span: CurveSpan): Curve {
  const { fromMs } = span;
  const toMs = Math.max(span.toMs, fromMs + shortestStepMs);
  const fittingMs = Math.ceil((toMs - fromMs) / mostSteps);
  const askedMs = Math.max(span.stepMs ?? shortestStepMs, fittingMs, shortestStepMs);
  const { id } = watched.bucket;
  const fine =
    askedMs > slotMs / 2 ? undefined : fineSteps(parts, watched, { fromMs, toMs, stepMs: askedMs });
  const stepMs = fine === undefined ? Math.ceil(askedMs / slotMs) * slotMs : askedMs;
  const firstMs = fine === undefined ? Math.floor(fromMs / slotMs) * slotMs : fromMs;
  const steps =
    fine ?? parts.tracks.listSlotGroups({ bucketId: id, fromMs: firstMs, toMs, stepMs });
  const events = parts.tracks.listEvents(id, firstMs, toMs).map((event) => ({
    atMs: event.atMs,
    untilMs: event.untilMs,
    kind: event.kind,
    massKg: kgFromG(event.deltaG),
  }));
  return { stepMs, ...columnsFrom(steps, { firstMs, toMs, stepMs }), events };
}

/** Every step has its place on the time axis; those without readings are null, never 0. */
function columnsFrom(
  steps: readonly Step[],
  { firstMs, toMs, stepMs }: { firstMs: number; toMs: number; stepMs: number },
): Omit<Curve, "stepMs" | "events"> {
  const count = Math.ceil((toMs - firstMs) / stepMs);
  const atMs = Array.from({ length: count }, (_, index) => firstMs + (index + 1) * stepMs);
  const placed: (Step | undefined)[] = new Array(count).fill(undefined);
  for (const step of steps) placed[Math.ceil((step.atMs - firstMs) / stepMs) - 1] = step;
  const column = (value: (step: Step) => number | null, decimals: number) =>
    placed.map((step) => {
      const known = step === undefined ? null : value(step);
      return known === null ? null : rounded(known, decimals);
    });
  return {
    atMs,
    massKg: column(({ netG }) => kgFromG(netG), 4),
    volumeL: column(({ netG }) => volumeLFromG(netG), 4),
    flowLPerH: column(({ flowGPerH }) => volumeLFromG(flowGPerH), 4),
    lowLPerH: column(({ lowGPerH }) => volumeLFromG(lowGPerH), 4),
    highLPerH: column(({ highGPerH }) => volumeLFromG(highGPerH), 4),
    airC: column(({ airC }) => airC, 2),
  };
}

/**
 * One step for each that holds a reading, by the same steps from reading to reading as live, with the flow smoothed
 * by what came after. Undefined where that would be so many readings that everybody else had to wait.
 */
function fineSteps(
  parts: Parts,
  watched: Watched,
  { fromMs, toMs, stepMs }: Required<CurveSpan>,
): Step[] | undefined {
  const steps = new Map<number, Step>();
  const past = createPastFlow();
  let gone = 0;
  for (const { track, setup, reading } of goneThrough(parts, watched, { fromMs, toMs })) {
    gone += 1;
    if (gone > mostReadings) return undefined;
    past.add(track, reading);
    const step = reading.atMs > fromMs ? stepAt(track, setup, reading) : undefined;
    if (step !== undefined) steps.set(Math.ceil((reading.atMs - fromMs) / stepMs), step);
  }
  const flows = past.flows();
  return [...steps.values()].map((step) => surerOf(step, flows.get(step.atMs)));
}

/** A tree at rest was known better at the time, by a filter that knows of rest. */
function surerOf(step: Step, past: PastFlow | undefined): Step {
  const isSurer =
    past !== undefined && past.highGPerH - past.lowGPerH < step.highGPerH - step.lowGPerH;
  return isSurer ? { ...step, ...past } : step;
}

type Gone = { track: Track; setup: BucketSetup; reading: BucketReading };

/** The track after each reading up to `toMs` and up to now, from the last checkpoint before `fromMs` on. */
function* goneThrough(
  parts: Parts,
  { hangings, bucket }: Watched,
  { fromMs, toMs }: { fromMs: number; toMs: number },
): Generator<Gone> {
  const checkpoint = parts.tracks.checkpointBefore(bucket.id, fromMs);
  let track = (checkpoint && trackFromJson(checkpoint.track)) ?? startTrack();
  let afterMs = Math.max(track.atMs ?? 0, fromMs - longestLeadMs);
  const untilMs = Math.min(toMs, parts.clock.nowMs());
  let piece = nextPiece(parts.readings, { hangings, afterMs, untilMs });
  while (piece !== undefined) {
    if (track.hangingId !== piece.hanging.id) track = rehangTrack(track, piece.hanging.id);
    const setup = setupFrom(piece.hanging);
    for (const reading of asHeard(parts, piece)) {
      track = advanceTrack(track, reading, setup).track;
      afterMs = reading.atMs;
      yield { track, setup, reading };
    }
    piece = nextPiece(parts.readings, { hangings, afterMs, untilMs });
  }
}

function stepAt(track: Track, setup: BucketSetup, reading: BucketReading): Step | undefined {
  const estimate = flowEstimate(track.flow, setup, reading.atMs);
  if (estimate.away || estimate.starting) return undefined;
  return { ...estimate, airC: reading.airC ?? null };
}

/** Nothing older than this before a curve's start tells on it. */
const mostReadings = 40_000;
const longestLeadMs = 48 * 3_600_000;
