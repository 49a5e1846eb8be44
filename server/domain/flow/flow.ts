// Follows one bucket reading by reading: its mass, the flow into it, and what people do to it.
import { msPerHour } from "../../../shared/units.ts";
import type { BucketReading, BucketSetup, FlowEstimate } from "../bucket.ts";
import { doubtOf } from "./doubt.ts";
import { isWoodFrozen, woodTempAfter } from "./frost.ts";
import { type Heard, type Hypothesis, isFull, retold, settledCount } from "./hypotheses.ts";
import { begun, type FlowStep, judged, judgedAfterSilence, settling } from "./judge.ts";
import {
  combined,
  flowOf,
  forgetFlow,
  type Meanwhile,
  type Modes,
  nothingElse,
  predictModes,
  updateModesByFlow,
} from "./modes.ts";
import { startNoise } from "./noise.ts";
import type { Rested } from "./smooth.ts";
import { type FlowState, longUnheardMs } from "./state.ts";
import { mixtureMeanIfNotNegative } from "./truncated.ts";

const mostG = 100_000;
const cellLagMs = 25 * 60_000;
const cellRestC = 5;
const creepMs = 30 * 60_000;
const creepNoiseG2PerH = 15;
const noFlowEveryMs = 600_000;
const noFlowSdGPerH = 4;
const ninetyPercent = 1.645;

export function startFlow(): FlowState {
  return {
    atMs: null,
    hypotheses: [],
    acceptedCount: 0,
    cellTempC: null,
    woodTempC: null,
    frozen: false,
    noFlowMs: null,
    noise: startNoise(),
    awayAtStart: false,
    steppedMs: null,
    loads: [],
    impossible: false,
  };
}

/**
 * The state after one more reading, and the events it brought to light. A reading that is not newer
 * than the last, or that no cell could give, changes nothing of what is believed.
 */
export function stepFlow(state: FlowState, reading: BucketReading, setup: BucketSetup): FlowStep {
  if (!Number.isFinite(reading.atMs) || (state.atMs !== null && reading.atMs <= state.atMs)) {
    return { state, events: [] };
  }
  if (!(Math.abs(reading.massG) <= mostG)) {
    return { state: { ...state, impossible: true }, events: [] };
  }
  const cellTempC = cellTempAfter(state, reading);
  const leverK = cellTempC === null ? 0 : cellTempC - cellRestC;
  const weighing = { massG: reading.massG, leverK, varianceG2: state.noise.varianceG2 };
  const elapsedMs = state.atMs === null ? 0 : reading.atMs - state.atMs;
  const woodTempC = woodTempAfter(state, reading);
  const frozen = isWoodFrozen(woodTempC, reading);
  const heard = { reading, weighing, setup, elapsedMs, frozen };
  const next: FlowState = {
    atMs: reading.atMs,
    hypotheses: state.hypotheses,
    acceptedCount: state.acceptedCount,
    cellTempC,
    woodTempC,
    frozen,
    noFlowMs: state.noFlowMs,
    noise: state.noise,
    awayAtStart: state.awayAtStart,
    steppedMs: state.steppedMs,
    loads: state.loads,
    impossible: false,
  };
  const [first] = state.hypotheses;
  if (first === undefined) return { state: begun(next, heard), events: [] };
  if (elapsedMs > longUnheardMs && state.acceptedCount === settledCount) {
    return judgedAfterSilence(next, { ...first, modes: forgetFlow(first.modes) }, heard);
  }
  return goneOn(next, heard);
}

/** `next` is as of the reading but for its hypotheses, which are still as of the one before. */
function goneOn(next: FlowState, heard: Heard): FlowStep {
  const { reading, elapsedMs } = heard;
  const { frozen, noFlowMs, steppedMs } = next;
  const isCreeping = steppedMs !== null && reading.atMs - elapsedMs - steppedMs < creepMs;
  const meanwhile = { frozen, extraNoiseG2PerH: isCreeping ? creepNoiseG2PerH : 0 };
  const ahead = next.hypotheses.map((one) => broughtForward(one, elapsedMs, meanwhile));
  const isNoFlowDue = frozen && (noFlowMs === null || reading.atMs - noFlowMs >= noFlowEveryMs);
  const informed = isNoFlowDue ? ahead.map(withoutFlow) : ahead;
  const state = isNoFlowDue ? { ...next, noFlowMs: reading.atMs } : next;
  const [first] = informed;
  return first !== undefined && state.acceptedCount < settledCount
    ? { state: settling(state, first, heard), events: [] }
    : judged(state, informed, heard);
}

function broughtForward(before: Hypothesis, elapsedMs: number, meanwhile: Meanwhile): Hypothesis {
  const durationH = elapsedMs / msPerHour;
  const modes = predictModes(before.modes, durationH, meanwhile);
  const { excursion } = before;
  if (excursion === null || excursion.steppedMs === null) return retold(before, modes);
  const inflowG = Math.max(0, flowOf(modes)) * durationH;
  const expectedG = excursion.expectedG + inflowG;
  return { ...retold(before, modes), excursion: { ...excursion, expectedG } };
}

function withoutFlow(hypothesis: Hypothesis): Hypothesis {
  return retold(hypothesis, updateModesByFlow(hypothesis.modes, 0, noFlowSdGPerH ** 2));
}

/** Mass and flow at a time at or after the last reading; the interval of the flow holds 90 %. */
export function flowEstimate(state: FlowState, setup: BucketSetup, atMs: number): FlowEstimate {
  const [first] = state.hypotheses;
  if (first === undefined || state.atMs === null) {
    return unknownEstimate(state, setup, atMs);
  }
  const aheadMs = Math.min(Math.max(atMs - state.atMs, 0), longUnheardMs);
  const ahead = aheadMs === 0 ? first : broughtForward(first, aheadMs, nothingElse);
  const belief = combined(ahead.modes);
  const { excursion } = ahead;
  const sdGPerH = Math.sqrt(belief.p11);
  const flowGPerH = flowIfNotNegative(ahead.modes);
  // A level of its own counts once it is told as an event: until then the books go on as if nothing had been.
  const isStepped = excursion !== null && excursion.steppedMs !== null;
  const away = excursion?.awayNow === true && excursion.awayCount > 1;
  const netG = (isStepped ? excursion.expectedG : belief.massG) - setup.emptyG;
  return {
    atMs,
    netG,
    netSdG: Math.sqrt(belief.p00),
    flowGPerH,
    lowGPerH: Math.max(0, belief.flowGPerH - ninetyPercent * sdGPerH),
    highGPerH: Math.max(flowGPerH, belief.flowGPerH + ninetyPercent * sdGPerH),
    away,
    full: !isStepped && (ahead.full || isFull(belief.massG, false, setup)),
    starting: state.acceptedCount < settledCount,
    frozen: state.frozen,
    doubt: doubtOf(state),
  };
}

/** The last weight freed from the drift; undefined when it was not taken for sap alone, or says nothing of the flow. */
export function restedWeight(state: FlowState, { atMs, massG }: BucketReading): Rested | undefined {
  const [first] = state.hypotheses;
  if (first === undefined || first.accepted.atMs !== atMs || first.full) return undefined;
  if (first.excursion !== null) return undefined;
  const leverK = state.cellTempC === null ? 0 : state.cellTempC - cellRestC;
  const { driftGPerK } = first.modes.calm;
  return { atMs, massG: massG - leverK * driftGPerK, varianceG2: state.noise.varianceG2 };
}

function flowIfNotNegative({ calm, run, runWeight }: Modes): number {
  return mixtureMeanIfNotNegative([
    { weight: 1 - runWeight, mean: calm.flowGPerH, sd: Math.sqrt(calm.p11) },
    { weight: runWeight, mean: run.flowGPerH, sd: Math.sqrt(run.p11) },
  ]);
}

function unknownEstimate(state: FlowState, setup: BucketSetup, atMs: number): FlowEstimate {
  return {
    atMs,
    netG: 0,
    netSdG: setup.capacityG,
    flowGPerH: 0,
    lowGPerH: 0,
    highGPerH: 0,
    away: state.awayAtStart,
    full: false,
    starting: true,
    frozen: false,
    doubt: doubtOf(state),
  };
}

function cellTempAfter(state: FlowState, reading: BucketReading): number | null {
  const { airC } = reading;
  if (airC === undefined || !(Math.abs(airC) <= 60)) {
    return state.cellTempC;
  }
  if (state.cellTempC === null || state.atMs === null) {
    return airC;
  }
  const share = 1 - Math.exp(-(reading.atMs - state.atMs) / cellLagMs);
  return state.cellTempC + share * (airC - state.cellTempC);
}
