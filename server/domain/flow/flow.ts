// Follows one bucket reading by reading: its mass, the flow into it, and what people do to it.
import { msPerHour } from "../../../shared/units.ts";
import type { BucketReading, BucketSetup, FlowEstimate } from "../bucket.ts";
import { doubtOf } from "./doubt.ts";
import { begun, disturbed, type FlowStep, judged } from "./judge.ts";
import { combined, forgetFlow, predictModes } from "./modes.ts";
import { startNoise } from "./noise.ts";
import { type FlowState, longUnheardMs, rimG, settledCount } from "./state.ts";
import { meanIfNotNegative } from "./truncated.ts";

const mostG = 100_000;
const cellLagMs = 25 * 60_000;
const cellRestC = 5;
const creepMs = 30 * 60_000;
const creepNoiseG2PerH = 15;
const ninetyPercent = 1.645;

export function startFlow(): FlowState {
  return {
    atMs: null,
    modes: null,
    acceptedCount: 0,
    accepted: null,
    cellTempC: null,
    noise: startNoise(),
    disturbance: null,
    awayAtStart: false,
    full: false,
    steppedMs: null,
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
  const heard = { ...state, atMs: reading.atMs, cellTempC, impossible: false };
  const { accepted, modes } = state;
  if (modes === null || accepted === null || state.atMs === null) {
    return { state: begun(heard, { reading, weighing, setup }), events: [] };
  }
  const elapsedMs = reading.atMs - state.atMs;
  if (elapsedMs > longUnheardMs && state.acceptedCount === settledCount) {
    return disturbed(
      { ...heard, accepted, modes: forgetFlow(modes) },
      { reading, weighing, setup },
      true,
    );
  }
  const creep = isCreeping(state, reading.atMs) ? creepNoiseG2PerH : 0;
  const ahead = predictModes(modes, elapsedMs / msPerHour, creep);
  return judged({ ...heard, accepted, modes: ahead }, { reading, weighing, setup });
}

/** Mass and flow at a time at or after the last reading; the interval of the flow holds 90 %. */
export function flowEstimate(state: FlowState, setup: BucketSetup, atMs: number): FlowEstimate {
  const { disturbance, modes } = state;
  const doubt = doubtOf(state);
  if (modes === null || state.atMs === null) {
    return { ...unknownEstimate(state, setup, atMs), ...(doubt === undefined ? {} : { doubt }) };
  }
  const aheadMs = Math.min(Math.max(atMs - state.atMs, 0), longUnheardMs);
  const belief = combined(predictModes(modes, aheadMs / msPerHour, 0));
  const sdGPerH = Math.sqrt(belief.p11);
  const flowGPerH = meanIfNotNegative(belief.flowGPerH, sdGPerH);
  const away = disturbance?.awayNow === true && disturbance.awayCount > 1;
  const wasAway = disturbance !== null && disturbance.awayCount > 1;
  const netG = (wasAway ? disturbance.before.massG : belief.massG) - setup.emptyG;
  return {
    atMs,
    netG,
    netSdG: Math.sqrt(belief.p00),
    flowGPerH,
    lowGPerH: Math.max(0, belief.flowGPerH - ninetyPercent * sdGPerH),
    highGPerH: Math.max(flowGPerH, belief.flowGPerH + ninetyPercent * sdGPerH),
    away,
    full: state.full || netG >= setup.capacityG - rimG,
    ...(state.acceptedCount < settledCount ? { starting: true } : {}),
    ...(doubt === undefined ? {} : { doubt }),
  };
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

function isCreeping(state: FlowState, atMs: number): boolean {
  return state.steppedMs !== null && atMs - state.steppedMs < creepMs;
}
