// When a bucket will brim over: from what may run in ahead, and what fits under the rim.
import { gFromVolumeL, volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour, msPerMinute } from "../../../shared/units.ts";
import type { BucketSetup, FlowEstimate } from "../bucket.ts";
import type { AirPoint } from "../keeping/air-ahead.ts";
import {
  type Calibration,
  calibrated,
  type ToldInflow,
  toldLeadsH,
  toldShares,
  uncalibrated,
} from "./calibration.ts";
import { daysAhead } from "./days-ahead.ts";
import type { FlowHistory } from "./history.ts";
import type { BrimMemory } from "./memory.ts";
import { normalBelow } from "./normal.ts";
import { strengthAgainst } from "./past-days.ts";
import { createDraws, seedFrom } from "./random.ts";
import { type Lender, ownShareOf, treesAhead } from "./trees-ahead.ts";

export type BrimForecast = {
  fromMs: number;
  stepMs: number;
  /** Probability that it has brimmed over by fromMs + index * stepMs; never falls. */
  overBy: number[];
  /** When the probability passes 0.1, 0.5, 0.9; null when not within 36 h. */
  t10Ms: number | null;
  t50Ms: number | null;
  t90Ms: number | null;
};

export type InflowQuantiles = { p10: number[]; p50: number[]; p90: number[] };

/** What one bucket has taught. */
export type BrimPast = { history: FlowHistory; memory: BrimMemory };

export type ForecastInput = {
  nowMs: number;
  /** Whose forecast it is: the same bucket at the same time draws the same paths. */
  source: string;
  estimate: FlowEstimate;
  setup: BucketSetup;
  past: BrimPast;
  /** The yard's other buckets, borrowed from while this one is new. */
  yard?: readonly BrimPast[];
  outlook?: readonly AirPoint[];
  /** By step, the share of the capacity that ice leaves to the sap; all of it when left out. */
  roomShare?: readonly number[];
  /** What the yard's closed forecasts taught; nothing when left out. */
  calibration?: Calibration;
};

const stepMs = 15 * msPerMinute;
const stepCount = 144;
const stepH = stepMs / msPerHour;
/** The steps that a forecast is made of. */
export const brimSteps = { stepMs, steps: stepCount };
/** Rim height, lid and a crooked hook (own estimate). */
const capacitySdL = 0.15;
/** A low and high bound are the 5 and 95 % points. */
const z95 = 1.645;
const mostLenders = 12;
/** Below this many standard deviations nothing is made of a chance. */
const nothingZ = -5;
const certainZ = 5;
/** However near the rim it may stand, nothing goes over before sap or ice has risen by so much [own]. */
const leastRiseG = 50;
/** Older than this, the air of the last slot is not the air of now. */
const airHoldsMs = 3 * msPerHour;

/** Probability of brimming over in steps of 15 min for 36 h; the same input gives the same answer. */
export function forecastBrim(input: ForecastInput): BrimForecast {
  return forecastFrom(inflowAhead(input), input);
}

/** What the members' inflow means for a bucket. */
export function forecastFrom(
  members: readonly Float64Array[],
  input: Level & Pick<ForecastInput, "nowMs">,
): BrimForecast {
  const { nowMs, estimate, setup } = input;
  const atRim = estimate.full || estimate.netG >= setup.capacityG;
  const overBy = atRim
    ? new Array<number>(stepCount + 1).fill(1)
    : overProbabilities(members, input);
  const timeOf = (probability: number) => timeAt(overBy, probability, nowMs);
  return {
    fromMs: nowMs,
    stepMs,
    overBy,
    t10Ms: timeOf(0.1),
    t50Ms: timeOf(0.5),
    t90Ms: timeOf(0.9),
  };
}

/**
 * Inflow in g up to each step of 15 min, one row a member, all equally likely; without air
 * temperature past days stand in for the tree.
 */
export function inflowAhead(input: ForecastInput): Float64Array[] {
  const { nowMs, estimate, past, yard = [], outlook = [] } = input;
  const { memory, history } = past;
  const flowNow = {
    meanGPerH: Math.max(0, estimate.flowGPerH),
    sdGPerH: Math.max(0, estimate.highGPerH - estimate.lowGPerH) / (2 * z95),
  };
  const span = { fromMs: nowMs, stepMs, steps: stepCount, flowNow };
  if (memory.atMs === null || nowMs - memory.atMs > airHoldsMs) {
    return daysAhead({ ...span, history, yardHistory: yard.map((other) => other.history) });
  }
  const lenders = lendersFor(past, yard);
  const draws = createDraws(seedFrom(input.source, nowMs));
  const { pathLogSd, airScale } = input.calibration ?? uncalibrated;
  return treesAhead({ ...span, memory, lenders, outlook, pathLogSd, airScale, draws });
}

/** A new tree borrows from those that have taught more than it has. */
function lendersFor(past: BrimPast, yard: readonly BrimPast[]): Lender[] {
  if (ownShareOf(past.memory) === 1) return [];
  return yard
    .filter((other) => other.memory.learntSlots > past.memory.learntSlots)
    .slice(0, mostLenders)
    .map(({ memory, history }) => ({ memory, strength: strengthAgainst(history, past.history) }));
}

/** Probability that it goes over between two instants, the first one not counted; 0 past the forecast. */
export function probabilityBetween(
  forecast: BrimForecast,
  fromMs: number,
  untilMs: number,
): number {
  return Math.max(0, overBefore(forecast, untilMs) - overBefore(forecast, fromMs));
}

/** Probability that it has gone over before an instant, held at its ends outside the 36 h. */
export function overBefore(forecast: BrimForecast, atMs: number): number {
  const last = forecast.overBy.length - 1;
  const place = Math.min(last, Math.max(0, (atMs - forecast.fromMs) / forecast.stepMs));
  const index = Math.min(last - 1, Math.floor(place));
  const before = forecast.overBy[index] ?? 0;
  const after = forecast.overBy[index + 1] ?? before;
  return before + (after - before) * (place - index);
}

type Level = Pick<ForecastInput, "estimate" | "setup" | "roomShare" | "calibration">;

function overProbabilities(members: readonly Float64Array[], input: Level): number[] {
  const sums = new Float64Array(stepCount + 1);
  const level = { headroomsG: headroomsOf(input), sdG: sdOf(input.estimate) };
  for (const member of members) addOver(sums, member, level);
  const { calibration = uncalibrated } = input;
  let most = 0;
  return Array.from(sums, (sum, step) => {
    const told = calibrated(Math.min(1, sum / members.length), step * stepH, calibration);
    most = Math.max(most, Math.round(told * 1e6) / 1e6);
    return most;
  });
}

function sdOf(estimate: FlowEstimate): number {
  return Math.hypot(estimate.netSdG, gFromVolumeL(capacitySdL));
}

function headroomsOf({ estimate, setup, roomShare = [] }: Level): Float64Array {
  return Float64Array.from(
    { length: stepCount + 1 },
    (_, step) => setup.capacityG * (roomShare[step] ?? 1) - estimate.netG,
  );
}

/** Adds how likely one member is to have gone over by each step. */
function addOver(
  sums: Float64Array,
  member: Float64Array,
  { headroomsG, sdG }: { headroomsG: Float64Array; sdG: number },
): void {
  const overNowG = -(headroomsG[0] ?? 0);
  let mostZ = nothingZ;
  let most = 0;
  for (let step = 0; step < sums.length; step += 1) {
    const overG = (member[step] ?? 0) - (headroomsG[step] ?? 0);
    const z = overG / sdG;
    if (z > mostZ && overG - overNowG >= leastRiseG) {
      mostZ = z;
      most = z > certainZ ? 1 : normalBelow(z);
    }
    sums[step] = (sums[step] ?? 0) + most;
  }
}

function timeAt(overBy: readonly number[], probability: number, fromMs: number): number | null {
  const index = overBy.findIndex((over) => over >= probability);
  if (index < 0) {
    return null;
  }
  const after = overBy[index] ?? 1;
  const before = overBy[index - 1] ?? after;
  const part = after > before ? (probability - before) / (after - before) : 1;
  return Math.round(fromMs + Math.max(0, index - 1 + part) * stepMs);
}

/** What is told for the leads that calibration learns from. */
export function toldBy(members: readonly Float64Array[], capacityG: number): ToldInflow[] {
  return toldLeadsH.map((leadH) => {
    const valuesG = Float64Array.from(members, (member) => member[leadH / stepH] ?? 0).sort();
    const at = (share: number) => Math.round(valuesG[Math.floor(share * valuesG.length)] ?? 0);
    return { leadH, toldG: toldShares.map(at), capacityG };
  });
}

/** Litres that come in from now to each full hour ahead (index 0 is one hour). */
export function inflowQuantiles(members: readonly Float64Array[]): InflowQuantiles {
  const inflowL: InflowQuantiles = { p10: [], p50: [], p90: [] };
  const perHour = 1 / stepH;
  const valuesG = new Float64Array(members.length);
  for (let step = perHour; step <= stepCount; step += perHour) {
    members.forEach((member, index) => {
      valuesG[index] = member[step] ?? 0;
    });
    valuesG.sort();
    const quantileL = (share: number) => roundedL(valuesG[Math.floor(share * valuesG.length)] ?? 0);
    inflowL.p10.push(quantileL(0.1));
    inflowL.p50.push(quantileL(0.5));
    inflowL.p90.push(quantileL(0.9));
  }
  return inflowL;
}

function roundedL(massG: number): number {
  return Math.round(volumeLFromG(massG) * 1000) / 1000;
}
