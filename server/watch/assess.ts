// What is thought of one bucket at one moment: state, brim and keeping, from its track.
import type { Keeping } from "../../shared/wire/api.ts";
import type { OutlookState } from "../../shared/wire/outlook.ts";
import type { Calibration, ToldInflow } from "../domain/brim/calibration.ts";
import { type BrimDecision, decideBrim } from "../domain/brim/decide.ts";
import {
  type BrimPast,
  brimSteps,
  type ForecastInput,
  forecastFrom,
  inflowAhead,
  toldBy,
} from "../domain/brim/forecast.ts";
import { outlookState } from "../domain/brim/outlook.ts";
import { roomShareAhead } from "../domain/brim/room.ts";
import type { Visits } from "../domain/brim/visits.ts";
import type { BucketSetup, FlowEstimate } from "../domain/bucket.ts";
import { bucketState } from "../domain/bucket-state.ts";
import { flowEstimate } from "../domain/flow/flow.ts";
import { snowOnLidG } from "../domain/flow/lid.ts";
import { type AirPoint, createAirAhead } from "../domain/keeping/air-ahead.ts";
import { keepingOf } from "../domain/keeping/boil-by.ts";
import { type WetNow, withMelting, withoutWet } from "../domain/rain/wet.ts";
import { type Said, saidOf } from "../domain/record/said.ts";
import { brimPastOf, type Track } from "../domain/track.ts";
import { onCellSinceMs, presentSetup, type Watched } from "./watched.ts";

export type Assessment = {
  atMs: number;
  /** What was forecast, to be held against what comes; null where nothing can be. */
  said: Said | null;
  decision: BrimDecision | null;
  /** What the decision's forecast told to run in; null without one. */
  told: ToldInflow[] | null;
  /** What became of the outlook. */
  outlook: OutlookState;
  keeping: Keeping | null;
  keepingMissing: string | null;
  /** When a fault was last told by the board and no reading came since. */
  fault: string | null;
};

export type AssessInput = {
  nowMs: number;
  bucketId: string;
  track: Track;
  setup: BucketSetup;
  role: "sap" | "control";
  fault: string | null;
  visits: Visits;
  warnProbability: number;
  /** What the yard's other buckets have taught. */
  yard: readonly BrimPast[];
  /** In order of time. */
  outlook: readonly AirPoint[];
  /** What closed forecasts taught, with an outlook or without one. */
  calibration?: (hasOutlook: boolean) => Calibration;
};

/** The filter's estimate for nowMs, all that comes in taken for sap; null before there is any to speak of. */
export function estimateAt(track: Track, setup: BucketSetup, nowMs: number): FlowEstimate | null {
  if (track.atMs === null) return null;
  const estimate = flowEstimate(track.flow, setup, Math.max(nowMs, track.atMs));
  return estimate.starting && !estimate.away ? null : estimate;
}

/** The same of the sap alone: less the rain or snow that falls, and less sure while a lid sheds its snow. */
export function sapEstimateAt(
  { track, wet }: { track: Track; wet: WetNow | undefined },
  setup: BucketSetup,
  nowMs: number,
): FlowEstimate | null {
  const estimate = estimateAt(track, setup, nowMs);
  if (estimate === null) return null;
  const lid = { snowG: snowOnLidG(track.ledger.lid), airC: track.airC };
  return withMelting(withoutWet(estimate, wet), lid);
}

/** Forecast, decision and keeping at nowMs: the costly part, asked for every few minutes. */
export function assess(given: AssessInput): Assessment {
  const { nowMs, track, setup, role, fault } = given;
  const { input, outlook } = trusted(given);
  const estimate = estimateAt(track, setup, nowMs);
  const answer = keepingOf(track.keeping, {
    nowMs,
    netG: estimate?.netG ?? 0,
    airAheadC: createAirAhead(track.keeping.airDay, input.outlook),
  });
  const judged = estimate === null || role === "control" ? null : judgedBy(input, estimate);
  return {
    atMs: nowMs,
    said: judged?.said ?? null,
    decision: judged?.decision ?? null,
    told: judged?.told ?? null,
    outlook,
    keeping: role === "control" ? null : answer.keeping,
    keepingMissing: role === "control" ? "a control bucket holds no sap" : answer.missing,
    fault,
  };
}

/** An outlook that can't be trusted is left out. */
function trusted(given: AssessInput): { input: AssessInput; outlook: OutlookState } {
  const { nowMs, track } = given;
  const outlook = outlookState(given.outlook, { atMs: nowMs, airC: track.airC });
  return { outlook, input: outlook === "used" ? given : { ...given, outlook: [] } };
}

/** What may run in ahead, member by member, as the warnings have it. */
export function inflowMembers(given: AssessInput, estimate: FlowEstimate): Float64Array[] {
  return inflowAhead(calibratedInput(trusted(given).input, estimate));
}

function calibratedInput(input: AssessInput, estimate: FlowEstimate): ForecastInput {
  const calibration = input.calibration?.(input.outlook.length > 0);
  return {
    ...forecastInput(input, estimate),
    ...(calibration === undefined ? {} : { calibration }),
  };
}

function judgedBy(input: AssessInput, estimate: FlowEstimate) {
  const { setup, visits, warnProbability } = input;
  const asked = calibratedInput(input, estimate);
  const members = inflowAhead(asked);
  const forecast = forecastFrom(members, asked);
  const decision: BrimDecision = decideBrim({
    forecast,
    visits,
    warnProbability,
    estimate,
    setup,
  });
  const told = toldBy(members, setup.capacityG);
  return { decision, told, said: saidOf({ forecast, members, estimate, setup }) };
}

/** All that the brim forecast of a bucket is made of. */
export function forecastInput(
  input: Pick<AssessInput, "nowMs" | "bucketId" | "track" | "setup" | "yard" | "outlook">,
  estimate: FlowEstimate,
): ForecastInput {
  const { nowMs, bucketId, track, setup, yard, outlook } = input;
  const airAheadC = createAirAhead(track.keeping.airDay, outlook);
  const { enthalpyJ } = track.keeping;
  const span = { fromMs: nowMs, ...brimSteps };
  const room =
    airAheadC === null
      ? {}
      : { roomShare: roomShareAhead({ ...span, enthalpyJ, netG: estimate.netG, airAheadC }) };
  const past = brimPastOf(track);
  return { nowMs, source: bucketId, estimate, setup, past, yard, outlook, ...room };
}

/** The one word for how the bucket is; cheap, asked for with every reading. */
export function stateAt(watched: Watched, nowMs: number) {
  const { track, wet, bucket, assessment } = watched;
  const setup = presentSetup(watched);
  return bucketState({
    nowMs,
    parked: bucket.parked,
    lastReadingMs: track.atMs,
    onCellSinceMs: onCellSinceMs(watched),
    expectedIntervalMs: track.intervalMs,
    fault: assessment?.fault ?? null,
    estimate: sapEstimateAt({ track, wet }, setup, nowMs),
    setup,
    iceFraction: assessment?.keeping?.iceFraction ?? null,
    airC: track.airC,
  });
}
