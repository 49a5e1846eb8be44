// Decides of each reading whether sap brought the weight there or something else did.
import type { FlowEvent } from "../bucket.ts";
import { eventOf, loadsAfter, mayBeLeaning } from "./events.ts";
import { awayBelowG, type Excursion, startExcursion } from "./excursion.ts";
import {
  childrenOf,
  type Heard,
  type Hypothesis,
  isFull,
  rimSurprise,
  settledCount,
  withSap,
} from "./hypotheses.ts";
import { combined, flowOf, massOf, startModes, surpriseOf } from "./modes.ts";
import { forgetWeights, stepNoise } from "./noise.ts";
import { pruned } from "./pruning.ts";
import { type FlowState, withHypotheses } from "./state.ts";

export type FlowStep = { state: FlowState; events: FlowEvent[] };

const usualSurprise = 9;
const startSurprise = 25;
const startStrayG = 40;
const sureWeight = 0.99;
const leastSettledMs = 3 * 60_000;
const leaningMs = 8 * 60_000;

/** Starts anew from this reading. */
export function begun(state: FlowState, heard: Heard): FlowState {
  const { reading, setup, weighing } = heard;
  if (reading.massG < awayBelowG(setup)) {
    return { ...state, hypotheses: [], acceptedCount: 0, awayAtStart: true };
  }
  const modes = startModes(weighing);
  const { massG, p00 } = combined(modes);
  const first: Hypothesis = {
    logWeight: 0,
    modes,
    taken: "sap",
    sapCount: 1,
    sapSinceMs: reading.atMs,
    gustRun: 0,
    full: isFull(massG, false, setup),
    accepted: { atMs: reading.atMs, massG, varianceG2: p00 },
    excursion: null,
  };
  const noise = stepNoise(forgetWeights(state.noise), reading.atMs, reading.massG);
  return { ...state, hypotheses: [first], acceptedCount: 1, noise, awayAtStart: false };
}

/** While nothing is settled a weight that does not agree with the one before starts it all anew. */
export function settling(state: FlowState, ahead: Hypothesis, heard: Heard): FlowState {
  const { reading, weighing } = heard;
  const differenceG = Math.abs(weighing.massG - massOf(ahead.modes));
  const isUsual = differenceG <= startStrayG || surpriseOf(ahead.modes, weighing) <= startSurprise;
  const next = isUsual ? withSap(ahead, heard, 0) : undefined;
  if (next === undefined) return begun(state, heard);
  return {
    ...state,
    hypotheses: [next],
    acceptedCount: state.acceptedCount + 1,
    noise: stepNoise(state.noise, reading.atMs, reading.massG),
  };
}

/** Takes a reading the hypotheses have been brought forward to. */
export function judged(state: FlowState, ahead: readonly Hypothesis[], heard: Heard): FlowStep {
  const [first] = ahead;
  const usual = ahead.length === 1 && first !== undefined ? usualNext(first, heard) : undefined;
  if (usual !== undefined) {
    const { reading } = heard;
    const noise = stepNoise(state.noise, reading.atMs, reading.massG);
    return { state: withHypotheses(state, [usual], noise), events: [] };
  }
  const children = pruned(ahead.flatMap((hypothesis) => childrenOf(hypothesis, heard)));
  return concluded(noted(state, children, heard), settledOf(children), heard);
}

/** After so long unheard a weight is a level of its own or none at all. */
export function judgedAfterSilence(state: FlowState, ahead: Hypothesis, heard: Heard): FlowStep {
  const begunExcursion = ahead.excursion ?? startExcursion(ahead.accepted, heard.reading.atMs);
  const excursion = { ...begunExcursion, longUnheard: true, steppedMs: null };
  return judged(state, [{ ...ahead, sapCount: 0, excursion }], heard);
}

/** The one hypothesis there is goes on with a weight that is no surprise; nothing else is weighed against it. */
function usualNext(ahead: Hypothesis, heard: Heard): Hypothesis | undefined {
  if (ahead.taken !== "sap" || ahead.excursion !== null) return undefined;
  const { weighing } = heard;
  const surprise = ahead.full ? rimSurprise(ahead, weighing) : surpriseOf(ahead.modes, weighing);
  return surprise < usualSurprise ? withSap(ahead, heard, 0) : undefined;
}

/** The scatter learns from what the likeliest hypothesis took for sap, at whatever level. */
function noted(state: FlowState, hypotheses: Hypothesis[], { reading }: Heard): FlowState {
  const [first] = hypotheses;
  if (first === undefined || first.taken === "stray") {
    return withHypotheses(state, hypotheses, state.noise);
  }
  const steppedMs = first.excursion?.steppedMs ?? 0;
  const isOfOldLevel = (state.noise.last?.atMs ?? 0) < steppedMs;
  const before = isOfOldLevel ? forgetWeights(state.noise) : state.noise;
  return withHypotheses(state, hypotheses, stepNoise(before, reading.atMs, reading.massG));
}

/** Only one is left once it is all but certain and has seen two weights in a row at its level. */
function settledOf(hypotheses: readonly Hypothesis[]): Hypothesis | undefined {
  const [first] = hypotheses;
  if (first === undefined || first.sapCount < 2) return undefined;
  const sum = hypotheses.reduce((total, { logWeight }) => total + Math.exp(logWeight), 0);
  return Math.exp(first.logWeight) > sureWeight * sum ? { ...first, logWeight: 0 } : undefined;
}

/** Tells the event of an excursion once the hypothesis that is left has come to rest. */
function concluded(state: FlowState, settled: Hypothesis | undefined, heard: Heard): FlowStep {
  if (settled === undefined) return { state, events: [] };
  const { excursion, accepted, sapSinceMs } = settled;
  if (excursion === null || !isAtRest(settled, excursion)) {
    return { state: withHypotheses(state, [settled], state.noise), events: [] };
  }
  const { loads, frozen } = state;
  const { emptyG } = heard.setup;
  const flowGPerH = flowOf(settled.modes);
  const event = eventOf(excursion, { accepted, sapSinceMs, emptyG, loads, frozen, flowGPerH });
  return {
    state: {
      ...state,
      hypotheses: [{ ...settled, excursion: null }],
      steppedMs: excursion.steppedMs ?? state.steppedMs,
      loads: event === undefined ? loads : loadsAfter(loads, event),
    },
    events: event === undefined ? [] : [event],
  };
}

/** A level counts once weights agree on it, and one that a hand may hold once no hand would hold it so long. */
function isAtRest({ sapCount, sapSinceMs, accepted }: Hypothesis, excursion: Excursion): boolean {
  const restMs = accepted.atMs - sapSinceMs;
  if (excursion.steppedMs !== null && mayBeLeaning(excursion, accepted)) return restMs >= leaningMs;
  return sapCount >= settledCount || restMs >= leastSettledMs;
}
