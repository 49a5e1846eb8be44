// The air ahead, many times over: an outlook with what outlooks get wrong, or past days begun anew and led astray.
import { msPerHour } from "../../../shared/units.ts";
import type { AirPoint } from "../keeping/air-ahead.ts";
import {
  type AirPast,
  airAtStep,
  airPastDays,
  airStepMs,
  airStepsPerDay,
  warmestAfterNoonH,
} from "./air-past.ts";
import { airWithin, outlookState } from "./outlook.ts";
import {
  type AirScale,
  nowShare,
  scaleAt,
  tiltSdCPerH,
  wanderH,
  wanderSdC,
} from "./outlook-errors.ts";
import type { Draws } from "./random.ts";

export type AirPathsInput = {
  fromMs: number;
  /** The air of now. */
  airC: number;
  past: AirPast;
  /** UTC hour of the sun's highest stand, null when nobody can tell. */
  noonHour: number | null;
  outlook: readonly AirPoint[];
  airScale: AirScale;
  steps: number;
  stepMs: number;
  count: number;
  draws: Draws;
};

/** How long today stays as much warmer than the past day as it is now [own]. */
const levelH = 30;
const leastKnownShare = 0.75;
/** How far fronts lead the air off in the long run, and how soon [own]; a day on that is 3.1 K, less than some yards see. */
const frontSdC = 4;
const frontH = 50;
/** Days that follow one another are alike: so many of them tell as much of the fronts as one drawn by lot. */
const daysAlike = 1 / Math.tanh(12 / frontH);
/** How much warmer a day is than the one before: Whately, February to April 2015, 0.19; Lebanon NH 2022, 0.20. */
const springCPerDay = 0.2;
/** Half of a day's range, median and log-sd of 55 days at Whately, 15 February to 10 April 2015. */
const halfRange = { medianC: 5.3, logSd: 0.44 };

/** Air temperatures at the middle of each step, one path a row; at least one. */
export function airPathsAhead(input: AirPathsInput): Float64Array[] {
  const outlook = outlookAhead(input);
  if (outlook !== null) {
    const errors = errorsOver(input);
    return Array.from({ length: input.count }, () =>
      aroundOutlook({ ...input, outlookC: outlook, ...errors }),
    );
  }
  const days = pastDays(input);
  const sdC = frontSdC * Math.sqrt(2 / Math.max(1, days.length / daysAlike));
  return Array.from({ length: input.count }, (_, place) =>
    ledAstray(days[place % days.length] ?? typicalDay(input), { ...input, sdC }),
  );
}

/**
 * The fewer days there are to draw from, the less they tell how far the air may go: of n values of variance v the
 * next one is off their mean by v (1 + 1/n), while they are off it by v (1 - 1/n) themselves.
 */
function ledAstray(
  pathC: Float64Array,
  { sdC, stepMs, draws }: AirPathsInput & { sdC: number },
): Float64Array {
  const kept = Math.exp(-stepMs / msPerHour / frontH);
  const fresh = Math.sqrt(1 - kept * kept);
  let front = 0;
  return pathC.map((airC) => {
    front = kept * front + fresh * draws.normal();
    return airC + sdC * front;
  });
}

/** A day as late winter has them, from the air of now on. */
function typicalDay({ steps, airC, noonHour, fromMs, stepMs, draws }: AirPathsInput): Float64Array {
  const path = new Float64Array(steps).fill(airC);
  if (noonHour === null) return path;
  const halfC = halfRange.medianC * Math.exp(halfRange.logSd * draws.normal());
  const wave = (atMs: number) =>
    Math.cos(((atMs / msPerHour - noonHour - warmestAfterNoonH) / 12) * Math.PI);
  const waveNow = wave(fromMs);
  return path.map((_, step) => airC + halfC * (wave(fromMs + (step + 0.5) * stepMs) - waveNow));
}

/** The outlook in steps; past its end its last day repeats. Null for one that can't be believed. */
function outlookAhead({ outlook, fromMs, airC, ...input }: AirPathsInput): Float64Array | null {
  const points = [...outlook].sort((a, b) => a.atMs - b.atMs);
  if (outlookState(points, { atMs: fromMs, airC }) !== "used") return null;
  const stepsPerDay = Math.round((24 * msPerHour) / input.stepMs);
  const path = new Float64Array(input.steps);
  for (let step = 0; step < input.steps; step += 1) {
    const known = airWithin(points, fromMs + (step + 0.5) * input.stepMs);
    path[step] = known ?? path[step - stepsPerDay] ?? airC;
  }
  return path;
}

/** By step: how far what is wrong now still is, and how far it may wander and tilt. */
type Errors = { faded: Float64Array; wanderC: Float64Array; tiltC: Float64Array };

function errorsOver({ steps, stepMs, airScale }: AirPathsInput): Errors {
  const overLeads = (at: (leadH: number) => number) =>
    Float64Array.from({ length: steps }, (_, step) => at(((step + 0.5) * stepMs) / msPerHour));
  return {
    faded: overLeads(nowShare),
    wanderC: overLeads((leadH) => wanderSdC(leadH) * scaleAt(airScale, leadH)),
    tiltC: overLeads((leadH) => tiltSdCPerH * leadH * scaleAt(airScale, leadH)),
  };
}

function aroundOutlook(input: AirPathsInput & Errors & { outlookC: Float64Array }): Float64Array {
  const { outlookC, faded, wanderC, tiltC, draws } = input;
  const kept = Math.exp(-input.stepMs / msPerHour / wanderH);
  const fresh = Math.sqrt(1 - kept * kept);
  const nowErrorC = input.airC - (outlookC[0] ?? input.airC);
  const tilt = draws.normal();
  let wander = draws.normal();
  const path = new Float64Array(outlookC.length);
  for (let step = 0; step < path.length; step += 1) {
    wander = kept * wander + fresh * draws.normal();
    const errorC = wander * (wanderC[step] ?? 0) + tilt * (tiltC[step] ?? 0);
    path[step] = (outlookC[step] ?? 0) + nowErrorC * (faded[step] ?? 0) + errorC;
  }
  return path;
}

/** Each past day that was heard, from this hour on, moved to the air of now. */
function pastDays(input: AirPathsInput): Float64Array[] {
  const paths: Float64Array[] = [];
  for (let day = 1; day < airPastDays; day += 1) {
    const path = pastDay(input, day);
    if (path !== null) paths.push(path);
  }
  return paths;
}

function pastDay(input: AirPathsInput, day: number): Float64Array | null {
  const nowStep = Math.floor(input.fromMs / airStepMs);
  const path = new Float64Array(input.steps);
  const startC = airAtStep(input.past, nowStep - day * airStepsPerDay);
  const shiftC = startC === null ? 0 : input.airC - startC;
  let lastC = startC ?? input.airC;
  let known = 0;
  for (let step = 0; step < input.steps; step += 1) {
    const sinceMs = (step + 0.5) * input.stepMs;
    const airC = airThen(input, input.fromMs + sinceMs, day);
    if (airC !== null) {
      known += 1;
      lastC = airC;
    }
    const level = Math.exp(-sinceMs / msPerHour / levelH);
    path[step] = lastC + shiftC * level + springCPerDay * day * (1 - level);
  }
  return known >= leastKnownShare * input.steps ? path : null;
}

/** Between the middles of half hours; of yesterday's tomorrow only the first hours are known. */
function airThen(input: AirPathsInput, atMs: number, day: number): number | null {
  const back = (daysBack: number) => {
    const place = atMs / airStepMs - 0.5 - daysBack * airStepsPerDay;
    const step = Math.floor(place);
    const before = airAtStep(input.past, step);
    const after = airAtStep(input.past, step + 1);
    if (before === null || after === null) return before ?? after;
    return before + (after - before) * (place - step);
  };
  const lastStep = Math.floor(input.fromMs / airStepMs) - 1;
  const step = Math.floor(atMs / airStepMs) - day * airStepsPerDay;
  return back(step <= lastStep ? day : day + 1);
}
