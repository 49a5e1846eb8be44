// Flow of the past, told by what was weighed before and after: sharper than what was known at the time.
//
// Source: H. E. Rauch, F. Tung, C. T. Striebel, "Maximum Likelihood Estimates of Linear Dynamic Systems", AIAA J. 3
// (1965). Mass and flow alone; the drift of the cell is taken out of the weights beforehand.
import { msPerHour } from "../../../shared/units.ts";
import { type Belief, predicted, updated } from "./kalman.ts";
import { massNoiseG2PerH, noiseOver } from "./modes.ts";

/** One weight that was taken for sap, freed from the drift. */
export type Rested = { atMs: number; massG: number; varianceG2: number };
export type Smoothed = { flowGPerH: number; sdGPerH: number };

/** A belief before and after the weight of its time; elapsedH since the one before. */
type Passed = { ahead: Belief; known: Belief; elapsedH: number };

const flowNoise = 4000; // (g/h)2 per h, between a tree at rest and one that runs
const firstFlowSdGPerH = 300;

/** The flow at each weight; the weights are of one stretch without a step of the load, in the order of time. */
export function smoothedFlows(weights: readonly Rested[]): Smoothed[] {
  const passed = passedForward(weights);
  const flows: Smoothed[] = new Array(passed.length);
  let later: { belief: Belief; passed: Passed } | undefined;
  for (let index = passed.length - 1; index >= 0; index -= 1) {
    const here = passed[index];
    if (here === undefined) continue;
    const belief = later === undefined ? here.known : smoothedFrom(here.known, later);
    flows[index] = { flowGPerH: belief.flowGPerH, sdGPerH: Math.sqrt(Math.max(0, belief.p11)) };
    later = { belief, passed: here };
  }
  return flows;
}

function passedForward(weights: readonly Rested[]): Passed[] {
  const passed: Passed[] = [];
  let known: Belief | undefined;
  let lastMs = 0;
  for (const weight of weights) {
    const elapsedH = known === undefined ? 0 : (weight.atMs - lastMs) / msPerHour;
    const noise = noiseOver(elapsedH, massNoiseG2PerH, flowNoise);
    const ahead: Belief = known === undefined ? startOf(weight) : predicted(known, elapsedH, noise);
    known = known === undefined ? ahead : updated(ahead, { ...weight, leverK: 0 });
    lastMs = weight.atMs;
    passed.push({ ahead, known, elapsedH });
  }
  return passed;
}

function startOf({ massG, varianceG2 }: Rested): Belief {
  const flow = { flowGPerH: 0, p01: 0, p11: firstFlowSdGPerH ** 2 };
  return { massG, p00: varianceG2, ...flow, driftGPerK: 0, p02: 0, p12: 0, p22: 0 };
}

/** What is known here once what is known later is known too: gain C = P F' / P ahead. */
function smoothedFrom(known: Belief, later: { belief: Belief; passed: Passed }): Belief {
  const { ahead, elapsedH } = later.passed;
  const a00 = known.p00 + elapsedH * known.p01;
  const a10 = known.p01 + elapsedH * known.p11;
  const scale = ahead.p00 * ahead.p11 - ahead.p01 ** 2;
  const c00 = (a00 * ahead.p11 - known.p01 * ahead.p01) / scale;
  const c01 = (known.p01 * ahead.p00 - a00 * ahead.p01) / scale;
  const c10 = (a10 * ahead.p11 - known.p11 * ahead.p01) / scale;
  const c11 = (known.p11 * ahead.p00 - a10 * ahead.p01) / scale;
  const massG = later.belief.massG - ahead.massG;
  const flowGPerH = later.belief.flowGPerH - ahead.flowGPerH;
  const d00 = later.belief.p00 - ahead.p00;
  const d01 = later.belief.p01 - ahead.p01;
  const d11 = later.belief.p11 - ahead.p11;
  return {
    ...known,
    massG: known.massG + c00 * massG + c01 * flowGPerH,
    flowGPerH: known.flowGPerH + c10 * massG + c11 * flowGPerH,
    p00: known.p00 + c00 * (c00 * d00 + 2 * c01 * d01) + c01 * c01 * d11,
    p01: known.p01 + c00 * (c10 * d00 + c11 * d01) + c01 * (c10 * d01 + c11 * d11),
    p11: known.p11 + c10 * (c10 * d00 + 2 * c11 * d01) + c11 * c11 * d11,
  };
}
