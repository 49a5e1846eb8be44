// Decides of each reading whether sap brought the weight there or something else did.
import { msPerHour } from "../../../shared/units.ts";
import type { BucketReading, BucketSetup, FlowEvent } from "../bucket.ts";
import {
  type Accepted,
  awayBelowG,
  type Disturbance,
  isSettled,
  startDisturbance,
  stepDisturbance,
} from "./disturbance.ts";
import { eventAtNewLevel, eventAtReturn } from "./events.ts";
import type { Weighing } from "./kalman.ts";
import {
  combined,
  type Modes,
  massOf,
  relevelModes,
  startModes,
  surpriseOf,
  updateModes,
  updateModesAtRim,
} from "./modes.ts";
import { forgetWeights, stepNoise } from "./noise.ts";
import { type FlowState, rimG, settledCount } from "./state.ts";

export type FlowStep = { state: FlowState; events: FlowEvent[] };

const leastStrayG = 40;
const mostDeviations = 5;
const belowRimG = 150;
const rimFlowMemoryH = 1;

/** One reading, and how it weighs in the filter. */
export type Heard = { reading: BucketReading; weighing: Weighing; setup: BucketSetup };
/** A state whose belief has been brought forward to the reading. */
export type Believing = FlowState & { modes: Modes; accepted: Accepted };

/** Starts anew from this reading. */
export function begun(state: FlowState, heard: Heard): FlowState {
  if (heard.reading.massG < awayBelowG(heard.setup)) {
    return { ...state, modes: null, acceptedCount: 0, awayAtStart: true };
  }
  const modes = startModes(heard.weighing);
  return accepting(
    { ...state, modes, noise: forgetWeights(state.noise), awayAtStart: false },
    heard,
  );
}

/** Takes a reading the belief has been brought forward to. */
export function judged(ahead: Believing, heard: Heard): FlowStep {
  const { disturbance } = ahead;
  const expectedNetG = massOf(ahead.modes) - heard.setup.emptyG;
  const full = ahead.full || expectedNetG >= heard.setup.capacityG - rimG;
  const state = { ...ahead, full };
  const usual = isUsual(state, heard);
  if (disturbance === null) {
    if (usual) {
      return { state: accepting(weighed(state, heard), heard), events: [] };
    }
    if (state.acceptedCount < settledCount) {
      return { state: begun({ ...state, acceptedCount: 0 }, heard), events: [] };
    }
    return disturbed(state, heard, false);
  }
  if (usual && disturbance.awayCount <= 1 && !disturbance.longUnheard) {
    const event = eventAtReturn(disturbance, heard.reading.atMs);
    const settled = weighed({ ...state, disturbance: null }, heard);
    return { state: accepting(settled, heard), events: event === undefined ? [] : [event] };
  }
  return disturbed(state, heard, disturbance.longUnheard);
}

/** Takes a reading that fits no expectation, and ends the disturbance once the weight has come to rest. */
export function disturbed(state: Believing, heard: Heard, longUnheard: boolean): FlowStep {
  const { reading, setup, weighing } = heard;
  const belief = combined(state.modes);
  const known = {
    setup,
    flowGPerH: belief.flowGPerH,
    flowSdGPerH: Math.sqrt(belief.p11),
    varianceG2: weighing.varianceG2,
  };
  const begunBefore = state.disturbance ?? startDisturbance(state.accepted, reading);
  const disturbance = stepDisturbance(
    { ...begunBefore, longUnheard: begunBefore.longUnheard || longUnheard },
    reading,
    known,
  );
  const { level } = disturbance;
  if (level === null || !isSettled(level)) {
    return { state: { ...state, disturbance }, events: [] };
  }
  return settledAt(state, disturbance, { ...heard, level });
}

function settledAt(
  state: Believing,
  disturbance: Disturbance,
  heard: Heard & { level: NonNullable<Disturbance["level"]> },
): FlowStep {
  const { level, reading, setup, weighing } = heard;
  const { before } = disturbance;
  const ahead = combined(state.modes);
  const mean = { ...weighing, massG: level.meanG, varianceG2: weighing.varianceG2 / level.count };
  const modes = relevelModes(state.modes, mean);
  const massG = massOf(modes);
  const hangingH = (reading.atMs - before.atMs - disturbance.awayMs) / msPerHour;
  const inflowG = disturbance.longUnheard ? 0 : Math.max(0, ahead.flowGPerH) * hangingH;
  const event = eventAtNewLevel(
    disturbance,
    {
      massG,
      inflowG,
      varianceG2: ahead.p00 + weighing.varianceG2,
      varianceAtRestG2: before.varianceG2 + weighing.varianceG2,
      sinceMs: level.firstMs,
    },
    setup,
  );
  const next = {
    ...state,
    modes,
    disturbance: null,
    steppedMs: reading.atMs,
    noise: forgetWeights(state.noise),
    full: massG - setup.emptyG >= setup.capacityG - rimG,
    accepted: { atMs: reading.atMs, massG, varianceG2: mean.varianceG2 },
  };
  return { state: next, events: event === undefined ? [] : [event] };
}

/** True when the weight is where sap alone would have brought it. */
function isUsual(state: Believing, heard: Heard): boolean {
  const { reading, setup, weighing } = heard;
  if (reading.massG < awayBelowG(setup)) {
    return false;
  }
  const { deviations, differenceG } = surpriseOf(state.modes, weighing);
  const spills = state.full && differenceG < 0;
  if (deviations > mostDeviations && Math.abs(differenceG) > leastStrayG && !spills) {
    return false;
  }
  const { accepted } = state;
  // Sap never leaves a bucket by itself, however long nobody looked.
  const dropG = accepted.massG - (weighing.massG - weighing.leverK * state.modes.calm.driftGPerK);
  const sdG = Math.sqrt(accepted.varianceG2 + weighing.varianceG2);
  return dropG <= Math.max(leastStrayG, mostDeviations * sdG);
}

/** The belief after a weight that was accepted; at the rim it tells nothing of the flow. */
function weighed(state: Believing, heard: Heard): Believing {
  if (!state.full) {
    return { ...state, modes: updateModes(state.modes, heard.weighing) };
  }
  const share = Math.exp(-(heard.reading.atMs - state.accepted.atMs) / msPerHour / rimFlowMemoryH);
  return { ...state, modes: updateModesAtRim(state.modes, heard.weighing, share) };
}

function accepting(state: FlowState & { modes: Modes }, heard: Heard): FlowState {
  const { reading, setup } = heard;
  const belief = combined(state.modes);
  const netG = belief.massG - setup.emptyG;
  return {
    ...state,
    acceptedCount: Math.min(settledCount, state.acceptedCount + 1),
    accepted: { atMs: reading.atMs, massG: belief.massG, varianceG2: belief.p00 },
    noise: stepNoise(state.noise, reading.atMs, reading.massG),
    full: netG >= setup.capacityG - (state.full ? belowRimG : rimG),
  };
}
