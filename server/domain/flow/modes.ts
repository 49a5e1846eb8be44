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
  type Weighing,
  withFlow,
} from "./kalman.ts";

export type Modes = { calm: Belief; run: Belief; runWeight: number };

const calmFlowNoise = 36; // (g/h)2 per h
const runFlowNoise = 40_000; // (g/h)2 per h
const massNoiseG2PerH = 4; // drips and drift of the cell
const driftNoise = 4e-4; // (g/K)2 per h
const runStartsPerH = 0.3;
const runEndsPerH = 1;
const rimSdG = 20; // how sap stands and spills at the rim
const leastWeight = 1e-3;

const firstRunWeight = runStartsPerH / (runStartsPerH + runEndsPerH);
const firstCalmFlowSdGPerH = 60;
const firstRunFlowSdGPerH = 300;
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

/** What is believed a while later; extraNoiseG2PerH is mass noise on top of the usual. */
export function predictModes(modes: Modes, durationH: number, extraNoiseG2PerH: number): Modes {
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
  const massNoise = massNoiseG2PerH + extraNoiseG2PerH;
  return {
    calm: predicted(calm, durationH, noiseOver(durationH, massNoise, calmFlowNoise)),
    run: predicted(run, durationH, noiseOver(durationH, massNoise, runFlowNoise)),
    runWeight: nextRunWeight,
  };
}

/** What is believed after a weighing at the same moment. */
export function updateModes(modes: Modes, weighing: Weighing): Modes {
  const calm = logLikelihood(modes.calm, weighing);
  const run = logLikelihood(modes.run, weighing);
  const oddsAgainst = ((1 - modes.runWeight) / modes.runWeight) * Math.exp(calm - run);
  const runWeight = 1 / (1 + oddsAgainst);
  return {
    calm: updated(modes.calm, weighing),
    run: updated(modes.run, weighing),
    runWeight: Math.min(1 - leastWeight, Math.max(leastWeight, runWeight)),
  };
}

/** The mass is known from this weighing alone, and the flow stays as it was. */
export function relevelModes(modes: Modes, weighing: Weighing): Modes {
  return {
    calm: relevelled(modes.calm, weighing),
    run: relevelled(modes.run, weighing),
    runWeight: modes.runWeight,
  };
}

/**
 * What is believed after weighing a bucket at its rim: only the mass is learned. Of the flow that was known this
 * share is left, and as much more doubt as was taken away.
 */
export function updateModesAtRim(modes: Modes, weighing: Weighing, flowShare: number): Modes {
  return {
    calm: updatedAtRim(modes.calm, weighing, flowShare),
    run: updatedAtRim(modes.run, weighing, flowShare),
    runWeight: modes.runWeight,
  };
}

function updatedAtRim(belief: Belief, weighing: Weighing, flowShare: number): Belief {
  const loose = { ...belief, p00: Math.max(belief.p00, rimSdG ** 2) };
  const flowGPerH = belief.flowGPerH * flowShare;
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

/** How far a weighing lies from what was expected, in g and in standard deviations of the kinder mode. */
export function surpriseOf(
  modes: Modes,
  weighing: Weighing,
): { differenceG: number; deviations: number } {
  const calm = innovationOf(modes.calm, weighing);
  const run = innovationOf(modes.run, weighing);
  const calmDeviations = Math.abs(calm.differenceG) / Math.sqrt(calm.varianceG2);
  const runDeviations = Math.abs(run.differenceG) / Math.sqrt(run.varianceG2);
  return runDeviations < calmDeviations
    ? { differenceG: run.differenceG, deviations: runDeviations }
    : { differenceG: calm.differenceG, deviations: calmDeviations };
}

function logLikelihood(belief: Belief, weighing: Weighing): number {
  const { differenceG, varianceG2 } = innovationOf(belief, weighing);
  return -0.5 * (Math.log(varianceG2) + (differenceG * differenceG) / varianceG2);
}

/** Exact covariance that a random walk of mass, flow and drift gathers over a time. */
function noiseOver(durationH: number, massNoise: number, flowNoise: number): ProcessNoise {
  const q11 = flowNoise * durationH;
  const q01 = (q11 * durationH) / 2;
  return {
    q00: massNoise * durationH + (q01 * durationH * 2) / 3,
    q01,
    q11,
    q22: driftNoise * durationH,
  };
}
