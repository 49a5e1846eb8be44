// Two Kalman filters side by side, for a tree at rest and for a tree that runs, and how likely each is.
//
// Source: H. A. P. Blom, Y. Bar-Shalom, "The Interacting Multiple Model Algorithm for Systems with Markovian
// Switching Coefficients", IEEE Trans. Autom. Control 33 (1988). The parameters are our own, tuned on simulated yards.
import {
  type Belief,
  innovationOf,
  mixed,
  type ProcessNoise,
  predicted,
  relevelled,
  updated,
  updatedByFlow,
  type Weighing,
  withFlow,
} from "./kalman.ts";
import { logNormal, logOfSum } from "./likelihood.ts";

export type Modes = { calm: Belief; run: Belief; runWeight: number };

const calmFlowNoise = 36; // (g/h)2 per h
const runFlowNoise = 40_000; // (g/h)2 per h
const frozenCalmFlowNoise = 4;
const frozenRunFlowNoise = 400;
export const massNoiseG2PerH = 4; // drips and drift of the cell
const driftNoise = 4e-4; // (g/K)2 per h
const runStartsPerH = 0.3;
const runEndsPerH = 1;
const leastWeight = 1e-3;

const firstRunWeight = runStartsPerH / (runStartsPerH + runEndsPerH);
const firstCalmFlowSdGPerH = 60;
const firstRunFlowSdGPerH = 300;
const surgeSinceH = 1 / 60;
const surgeRunWeight = 0.9;
const firstDriftSdGPerK = 2;

/** What is believed after the very first weighing. */
export function startModes(weighing: Weighing): Modes {
  const unknown = {
    massG: 0,
    flowGPerH: 0,
    driftGPerK: 0,
    p00: 0,
    p01: 0,
    p02: 0,
    p11: 0,
    p12: 0,
    p22: firstDriftSdGPerK ** 2,
  };
  return forgetFlow(relevelModes({ calm: unknown, run: unknown, runWeight: 0 }, weighing));
}

/** The flow is as unknown as at the start; mass and drift are kept. */
export function forgetFlow(modes: Modes): Modes {
  const both = combined(modes);
  return {
    calm: withFlow(both, 0, firstCalmFlowSdGPerH ** 2),
    run: withFlow(both, 0, firstRunFlowSdGPerH ** 2),
    runWeight: firstRunWeight,
  };
}

/** The flow of a tree that runs may be another than it was; all else is kept. */
export function loosenFlow({ calm, run, runWeight }: Modes): Modes {
  const variance = Math.max(run.p11, firstRunFlowSdGPerH ** 2);
  return { calm, run: withFlow(run, run.flowGPerH, variance), runWeight };
}

/** The flow became another a moment ago, by as much as at the start, and the tree runs; the mass shows some of it. */
export function surgeModes({ calm, run }: Modes): Modes {
  const p11 = firstRunFlowSdGPerH ** 2;
  const p01 = p11 * surgeSinceH;
  const loose = {
    massG: run.massG,
    flowGPerH: run.flowGPerH,
    driftGPerK: run.driftGPerK,
    p00: run.p00 + p01 * surgeSinceH,
    p01: run.p01 + p01,
    p02: run.p02,
    p11: run.p11 + p11,
    p12: run.p12,
    p22: run.p22,
  };
  return { calm, run: loose, runWeight: surgeRunWeight };
}

/** What else bears on a step of time. */
export type Meanwhile = {
  /** Mass noise on top of the usual. */
  extraNoiseG2PerH: number;
  /** The wood is certainly frozen: a flow would hardly change. */
  frozen: boolean;
};

export const nothingElse: Meanwhile = { extraNoiseG2PerH: 0, frozen: false };

/** What is believed a while later. */
export function predictModes(modes: Modes, durationH: number, meanwhile: Meanwhile): Modes {
  if (durationH <= 0) {
    return modes;
  }
  const { runWeight } = modes;
  const settled = 1 - Math.exp(-(runStartsPerH + runEndsPerH) * durationH);
  const starting = (1 - runWeight) * firstRunWeight * settled;
  const ending = runWeight * (1 - firstRunWeight) * settled;
  const nextRunWeight = runWeight + starting - ending;
  const calm = mixed(modes.calm, modes.run, ending / (1 - nextRunWeight));
  const run = mixed(modes.run, modes.calm, starting / nextRunWeight);
  const massNoise = massNoiseG2PerH + meanwhile.extraNoiseG2PerH;
  const calmNoise = meanwhile.frozen ? frozenCalmFlowNoise : calmFlowNoise;
  const runNoise = meanwhile.frozen ? frozenRunFlowNoise : runFlowNoise;
  return {
    calm: predicted(calm, durationH, noiseOver(durationH, massNoise, calmNoise)),
    run: predicted(run, durationH, noiseOver(durationH, massNoise, runNoise)),
    runWeight: nextRunWeight,
  };
}

/** What is believed after a weighing at the same moment. */
export function updateModes(modes: Modes, weighing: Weighing): Modes {
  const logOdds = logLikelihood(modes.calm, weighing) - logLikelihood(modes.run, weighing);
  return {
    calm: updated(modes.calm, weighing),
    run: updated(modes.run, weighing),
    runWeight: runWeightAfter(modes.runWeight, logOdds),
  };
}

/** What is believed after the flow itself became known from elsewhere, give or take. */
export function updateModesByFlow(modes: Modes, flowGPerH: number, variance: number): Modes {
  const logOf = (belief: Belief) => logNormal(flowGPerH - belief.flowGPerH, belief.p11 + variance);
  return {
    calm: updatedByFlow(modes.calm, flowGPerH, variance),
    run: updatedByFlow(modes.run, flowGPerH, variance),
    runWeight: runWeightAfter(modes.runWeight, logOf(modes.calm) - logOf(modes.run)),
  };
}

function runWeightAfter(runWeight: number, logCalmOverRun: number): number {
  const oddsAgainst = ((1 - runWeight) / runWeight) * Math.exp(logCalmOverRun);
  return Math.min(1 - leastWeight, Math.max(leastWeight, 1 / (1 + oddsAgainst)));
}

/** The mass is known from this weighing alone, and the flow stays as it was. */
export function relevelModes(modes: Modes, weighing: Weighing): Modes {
  return {
    calm: relevelled(modes.calm, weighing),
    run: relevelled(modes.run, weighing),
    runWeight: modes.runWeight,
  };
}

/** All of it as much heavier. */
export function shifted(modes: Modes, byG: number): Modes {
  const heavier = (belief: Belief) => ({ ...belief, massG: belief.massG + byG });
  return byG === 0
    ? modes
    : { calm: heavier(modes.calm), run: heavier(modes.run), runWeight: modes.runWeight };
}

/** At the rim: how sap stands and spills there, and what share of the flow that was known is left by now. */
type Rim = { rimSdG: number; flowShare: number };

/**
 * What is believed after weighing a bucket at its rim: only the mass is learned. Of the flow that was known a
 * share is left, and as much more doubt as was taken away.
 */
export function updateModesAtRim(modes: Modes, weighing: Weighing, rim: Rim): Modes {
  return {
    calm: updatedAtRim(modes.calm, weighing, rim),
    run: updatedAtRim(modes.run, weighing, rim),
    runWeight: modes.runWeight,
  };
}

function updatedAtRim(belief: Belief, weighing: Weighing, rim: Rim): Belief {
  const loose = { ...belief, p00: Math.max(belief.p00, rim.rimSdG ** 2) };
  const flowGPerH = belief.flowGPerH * rim.flowShare;
  const lostVariance = belief.flowGPerH ** 2 - flowGPerH ** 2;
  return withFlow(updated(withFlow(loose, 0, 0), weighing), flowGPerH, belief.p11 + lostVariance);
}

/** Mean and covariance over both modes. */
export function combined(modes: Modes): Belief {
  return mixed(modes.calm, modes.run, modes.runWeight);
}

/** The mass alone, over both modes. */
export function massOf({ calm, run, runWeight }: Modes): number {
  return (1 - runWeight) * calm.massG + runWeight * run.massG;
}

/** Mass and its variance over both modes. */
export function massBeliefOf({ calm, run, runWeight }: Modes): { massG: number; p00: number } {
  const weight = 1 - runWeight;
  const apartG = calm.massG - run.massG;
  return {
    massG: weight * calm.massG + runWeight * run.massG,
    p00: weight * calm.p00 + runWeight * run.p00 + weight * runWeight * apartG * apartG,
  };
}

/** The flow alone, over both modes. */
export function flowOf({ calm, run, runWeight }: Modes): number {
  return (1 - runWeight) * calm.flowGPerH + runWeight * run.flowGPerH;
}

/** Square of how many standard deviations a weighing lies off what the kinder mode expected. */
export function surpriseOf(modes: Modes, weighing: Weighing): number {
  return Math.min(surprise(modes.calm, weighing), surprise(modes.run, weighing));
}

/** Natural logarithm of the density of a weighing, over both modes. */
export function logLikelihoodOf(modes: Modes, weighing: Weighing): number {
  const calm = Math.log(1 - modes.runWeight) + logLikelihood(modes.calm, weighing);
  const run = Math.log(modes.runWeight) + logLikelihood(modes.run, weighing);
  return logOfSum(calm, run);
}

function surprise(belief: Belief, weighing: Weighing): number {
  const { differenceG, varianceG2 } = innovationOf(belief, weighing);
  return (differenceG * differenceG) / varianceG2;
}

function logLikelihood(belief: Belief, weighing: Weighing): number {
  const { differenceG, varianceG2 } = innovationOf(belief, weighing);
  return logNormal(differenceG, varianceG2);
}

/** Exact covariance that a random walk of mass, flow and drift gathers over a time. */
export function noiseOver(durationH: number, massNoise: number, flowNoise: number): ProcessNoise {
  const q11 = flowNoise * durationH;
  const q01 = (q11 * durationH) / 2;
  return {
    q00: massNoise * durationH + (q01 * durationH * 2) / 3,
    q01,
    q11,
    q22: driftNoise * durationH,
  };
}
