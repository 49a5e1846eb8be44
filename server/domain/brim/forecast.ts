// When a bucket will brim over: flow now, relaxing into what past days did at the same hours.
import { gFromVolumeL, volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour, msPerMinute } from "../../../shared/units.ts";
import type { BucketSetup, FlowEstimate } from "../bucket.ts";
import { type FlowHistory, historyStepMs } from "./history.ts";
import { normalBelow } from "./normal.ts";
import { type FlowPath, pathSteps, pathsAhead } from "./past-days.ts";

export type BrimForecast = {
  fromMs: number;
  stepMs: number;
  /** Probability that it has brimmed over by fromMs + index * stepMs; never falls. */
  overBy: number[];
  /** When the probability passes 0.1, 0.5, 0.9; null when not within 36 h. */
  t10Ms: number | null;
  t50Ms: number | null;
  t90Ms: number | null;
  /** Litres that come in from now to each full hour ahead (index 0 is one hour). */
  inflowL: { p10: number[]; p50: number[]; p90: number[] };
};

export type ForecastInput = {
  nowMs: number;
  estimate: FlowEstimate;
  setup: BucketSetup;
  history: FlowHistory;
  /** The yard's other buckets, borrowed from while this one is new. */
  yardHistory?: readonly FlowHistory[];
};

const stepMs = 15 * msPerMinute;
const stepCount = 144;
const stepH = stepMs / msPerHour;
/** Hours in which the flow of now gives way to that of a past day. */
const relaxH = 3;
/** Rim height, lid and a crooked hook (own estimate). */
const capacitySdL = 0.15;
/** A low and high bound are the 5 and 95 % points. */
const z95 = 1.645;
/** Five equally likely points of a standard normal value. */
const scaleZ = [-1.282, -0.524, 0, 0.524, 1.282];
const flowZ = [-1.1, 0, 1.1];
/** For how many hours the flow of now has counted by each step. */
const nowHours = Array.from(
  { length: stepCount + 1 },
  (_, step) => relaxH * (1 - Math.exp((-step * stepH) / relaxH)),
);

/** Probability of brimming over in steps of 15 min for 36 h; the same input gives the same answer. */
export function forecastBrim(input: ForecastInput): BrimForecast {
  const { nowMs, estimate, setup, history, yardHistory = [] } = input;
  const members = pathsAhead(nowMs, history, yardHistory).flatMap((path) => spread(path, nowMs));
  const flowNow = {
    meanGPerH: Math.max(0, estimate.flowGPerH),
    sdGPerH: Math.max(0, estimate.highGPerH - estimate.lowGPerH) / (2 * z95),
  };
  const atRim = estimate.full || estimate.netG >= setup.capacityG;
  const overBy = atRim
    ? new Array<number>(stepCount + 1).fill(1)
    : overProbabilities(members, { estimate, setup, ...flowNow });
  const timeOf = (probability: number) => timeAt(overBy, probability, nowMs);
  return {
    fromMs: nowMs,
    stepMs,
    overBy,
    t10Ms: timeOf(0.1),
    t50Ms: timeOf(0.5),
    t90Ms: timeOf(0.9),
    inflowL: inflowQuantiles(members, flowNow),
  };
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

/** One path at five sizes, summed up over the hours ahead, less what the flow of now still is. */
function spread(path: FlowPath, nowMs: number): Float64Array[] {
  const startStep = (nowMs % historyStepMs) / historyStepMs;
  const middle = new Float64Array(stepCount + 1);
  let sumG = 0;
  for (let step = 0; step < stepCount; step += 1) {
    const place = Math.min(pathSteps - 1, Math.floor(startStep + (step + 0.5) * stepH * 2));
    const newHours = stepH - ((nowHours[step + 1] ?? 0) - (nowHours[step] ?? 0));
    sumG += (path.flowGPerH[place] ?? 0) * newHours;
    middle[step + 1] = Math.max(middle[step] ?? 0, sumG);
  }
  return scaleZ
    .map((z) => Math.exp(path.logSd * z))
    .map((scale) => middle.map((inflowG) => inflowG * scale));
}

function overProbabilities(
  members: readonly Float64Array[],
  now: { estimate: FlowEstimate; setup: BucketSetup; meanGPerH: number; sdGPerH: number },
): number[] {
  const headroomG = now.setup.capacityG - now.estimate.netG;
  const levelVariance = now.estimate.netSdG ** 2 + gFromVolumeL(capacitySdL) ** 2;
  const overBy = new Array<number>(stepCount + 1).fill(0);
  for (const member of members) {
    let most = 0;
    for (let step = 0; step <= stepCount; step += 1) {
      const hours = nowHours[step] ?? 0;
      const inflowG = (member[step] ?? 0) + now.meanGPerH * hours;
      const sdG = Math.sqrt(levelVariance + (now.sdGPerH * hours) ** 2);
      most = Math.max(most, normalBelow((inflowG - headroomG) / sdG));
      overBy[step] = (overBy[step] ?? 0) + most / members.length;
    }
  }
  return overBy.map((probability) => Math.min(1, Math.round(probability * 1e6) / 1e6));
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

function inflowQuantiles(
  members: readonly Float64Array[],
  flowNow: { meanGPerH: number; sdGPerH: number },
): BrimForecast["inflowL"] {
  const inflowL: BrimForecast["inflowL"] = { p10: [], p50: [], p90: [] };
  const perHour = 1 / stepH;
  for (let step = perHour; step <= stepCount; step += perHour) {
    const valuesG = new Float64Array(members.length * flowZ.length);
    members.forEach((member, index) => {
      flowZ.forEach((z, place) => {
        const flowGPerH = Math.max(0, flowNow.meanGPerH + z * flowNow.sdGPerH);
        valuesG[index * flowZ.length + place] =
          (member[step] ?? 0) + flowGPerH * (nowHours[step] ?? 0);
      });
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
