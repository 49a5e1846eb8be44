// How long after sap begins to run the filter is sure of it, and how often it is sure of nothing.
import type { FlowListener, FlowMoment } from "./flow-score.ts";
import { quantile } from "./volume-score.ts";

export type OnsetFigures = {
  onsets: number;
  found: number;
  /** Minutes from the true onset. */
  p10Min: number;
  p50Min: number;
  p90Min: number;
  falsePerDay: number;
};

export type OnsetScore = FlowListener & { figures(): OnsetFigures };

const runsGPerH = 30;
const sureGPerH = 12;
const inARow = 4;
const quietMs = 2 * 3_600_000;
const latestMs = 3 * 3_600_000;
const dayMs = 86_400_000;

/** An onset: more than 30 g/h after two hours of less; found: the low end above 12 g/h four times running. */
export function createOnsetScore(): OnsetScore {
  const latenciesMin: number[] = [];
  let onsets = 0;
  let falseOnes = 0;
  let heardMs = 0;
  let lane = startLane();
  return {
    restart() {
      lane = startLane();
    },
    take({ reading: { atMs }, estimate, flowGPerH }: FlowMoment): void {
      heardMs += Math.min(dayMs, atMs - (lane.lastMs ?? atMs));
      lane.lastMs = atMs;
      onsets += Number(ranOn(lane, atMs, flowGPerH));
      lane.sure = estimate.lowGPerH > sureGPerH ? lane.sure + 1 : 0;
      if (lane.sure < inARow) return;
      const sinceMs = atMs - (lane.begunMs ?? 0);
      if (sinceMs < latestMs) latenciesMin.push(sinceMs / 60_000);
      else falseOnes += Number(isSureOfNothing(lane, atMs));
      lane.sureMs = atMs;
      lane.begunMs = undefined;
    },
    figures: () => ({
      onsets,
      found: latenciesMin.length / onsets,
      p10Min: quantile(latenciesMin, 0.1),
      p50Min: quantile(latenciesMin, 0.5),
      p90Min: quantile(latenciesMin, 0.9),
      falsePerDay: (falseOnes * dayMs) / heardMs,
    }),
  };
}

function isSureOfNothing({ sureMs, ranMs }: Lane, atMs: number): boolean {
  return atMs - (sureMs ?? 0) > quietMs && atMs - (ranMs ?? atMs) > quietMs / 4;
}

/** Notes what really runs; true when it has begun after a rest. */
function ranOn(lane: Lane, atMs: number, flowGPerH: number): boolean {
  const restMs = atMs - (lane.ranMs ?? atMs);
  lane.ranMs ??= atMs;
  if (flowGPerH <= runsGPerH) return false;
  lane.ranMs = atMs;
  if (restMs <= quietMs) return false;
  lane.begunMs = atMs;
  return true;
}

type Lane = {
  lastMs: number | undefined;
  ranMs: number | undefined;
  begunMs: number | undefined;
  sure: number;
  sureMs: number | undefined;
};

function startLane(): Lane {
  return { lastMs: undefined, ranMs: undefined, begunMs: undefined, sure: 0, sureMs: undefined };
}
