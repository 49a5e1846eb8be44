// Paths of inflow for the hours ahead: each past day at the same hours is one of them.
import {
  type FlowHistory,
  flowAtStep,
  historyDays,
  historyStepMs,
  historyStepsPerDay,
} from "./history.ts";

/** Inflow ahead in half hours, and how far it may be off as a whole. */
export type FlowPath = { flowGPerH: number[]; logSd: number };

export const pathSteps = 72;
const leastKnownShare = 0.75;
const leastOwnDays = 3;
/** More buckets than this tell no more of the yard's weather. */
const mostLenders = 24;
/** Sets the 10 to 90 % interval of a day's inflow to hold four days of five in the simulated yard. */
const ownLogSd = 0.4;
const borrowedLogSd = 0.6;
const noneLogSd = 0.7;
/** When less has run into the other bucket, there is no strength to tell. */
const leastStrengthG = 300;
/**
 * Without any past: a day at the quartiles of one gathering from one tap, 0.63, 1.92 and 4.10 kg
 * (USGS, n = 9,296), spread evenly.
 */
const typicalDaysGPerH = [630 / 24, 1920 / 24, 4100 / 24];

/**
 * The paths from nowMs on: the bucket's own days; with fewer than three of them the yard's days
 * too, scaled by the bucket's strength; with none at all typical days with a wide spread.
 */
export function pathsAhead(
  nowMs: number,
  history: FlowHistory,
  yardHistory: readonly FlowHistory[],
): FlowPath[] {
  const own = dayPaths(nowMs, history, ownLogSd);
  const known = own.filter((path) => path !== null);
  if (known.length >= leastOwnDays) {
    return known;
  }
  const yard = meanOf(yardHistory.slice(0, mostLenders), nowMs);
  const borrowed = dayPaths(nowMs, scaledTo(yard, history), borrowedLogSd);
  const all = borrowed.map((path, day) => own[day] ?? path).filter((path) => path !== null);
  return all.length > 0 ? all : typicalDaysGPerH.map(evenPath);
}

function evenPath(flowGPerH: number): FlowPath {
  return { flowGPerH: new Array<number>(pathSteps).fill(flowGPerH), logSd: noneLogSd };
}

function dayPaths(nowMs: number, history: FlowHistory, logSd: number): (FlowPath | null)[] {
  const paths: (FlowPath | null)[] = [];
  for (let day = 1; day < historyDays; day += 1) {
    const flowGPerH = dayAhead(nowMs, history, day);
    paths.push(flowGPerH === null ? null : { flowGPerH, logSd });
  }
  return paths;
}

/** What the day that lies `day` days back did at the hours ahead; a gap is held over from before. */
function dayAhead(nowMs: number, history: FlowHistory, day: number): number[] | null {
  const nowStep = Math.floor(nowMs / historyStepMs);
  const flows: number[] = [];
  let known = 0;
  let last = 0;
  for (let ahead = 0; ahead < pathSteps; ahead += 1) {
    const flow = flowAtStep(history, pastStep(nowStep, ahead, day));
    if (flow !== null) {
      known += 1;
      last = flow;
    }
    flows.push(last);
  }
  return known >= leastKnownShare * pathSteps ? flows : null;
}

/** The same hour `day` days back; of yesterday's tomorrow only the first hours are known. */
function pastStep(nowStep: number, ahead: number, day: number): number {
  const step = nowStep + ahead - day * historyStepsPerDay;
  return step < nowStep ? step : step - historyStepsPerDay;
}

/** How strong a bucket is against another, 0.3-3: the ratio of what both gave together. */
export function strengthAgainst(other: FlowHistory, own: FlowHistory): number {
  let ownG = 0;
  let otherG = 0;
  own.flowGPerH.forEach((flow, index) => {
    const theirs = flowAtStep(other, own.firstStep + index);
    if (flow !== null && theirs !== null) {
      ownG += flow / 2;
      otherG += theirs / 2;
    }
  });
  return otherG < leastStrengthG ? 1 : Math.min(3, Math.max(0.3, Math.max(0, ownG) / otherG));
}

/** Another bucket's past as this one would have run. */
function scaledTo(other: FlowHistory, own: FlowHistory): FlowHistory {
  const strength = strengthAgainst(other, own);
  return {
    ...other,
    flowGPerH: other.flowGPerH.map((flow) => (flow === null ? null : flow * strength)),
  };
}

function meanOf(histories: readonly FlowHistory[], nowMs: number): FlowHistory {
  const steps = historyDays * historyStepsPerDay;
  const firstStep = Math.floor(nowMs / historyStepMs) - steps;
  const sums = new Float64Array(steps);
  const counts = new Uint8Array(steps);
  for (const history of histories) {
    history.flowGPerH.forEach((flow, index) => {
      const place = history.firstStep + index - firstStep;
      if (flow === null || place < 0 || place >= steps) return;
      sums[place] = (sums[place] ?? 0) + flow;
      counts[place] = (counts[place] ?? 0) + 1;
    });
  }
  const flowGPerH = Array.from(counts, (count, place) =>
    count === 0 ? null : (sums[place] ?? 0) / count,
  );
  return { firstStep, flowGPerH, newestSlots: 0 };
}
