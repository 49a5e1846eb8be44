// What one reading may mean, told on from each story of those before.
//
// Source: D. B. Reid, "An Algorithm for Tracking Multiple Targets", IEEE Trans. Autom. Control 24 (1979), for
// carrying several hypotheses over several readings. The hypotheses and their rates are our own.
import { msPerHour } from "../../../shared/units.ts";
import type { BucketReading, BucketSetup } from "../bucket.ts";
import {
  type Accepted,
  awayBelowG,
  type Excursion,
  isPlausibleLevel,
  needsNewLevel,
  startExcursion,
  stepped,
  strayed,
} from "./excursion.ts";
import type { Weighing } from "./kalman.ts";
import { logNormal } from "./likelihood.ts";
import {
  flowOf,
  logLikelihoodOf,
  loosenFlow,
  type Modes,
  massBeliefOf,
  massOf,
  relevelModes,
  shifted,
  surgeModes,
  updateModes,
  updateModesAtRim,
} from "./modes.ts";

/** What a reading was taken for: sap alone, sap in a gust, or no level at all (hand, spike, bucket away). */
type Taken = "sap" | "gust" | "stray";

/** One story of all readings so far; JSON-safe. */
export type Hypothesis = {
  /** Natural logarithm of its weight beside the likeliest's. */
  logWeight: number;
  modes: Modes;
  taken: Taken;
  /** Readings in a row that were taken for sap, up to settledCount, and when the first of them was. */
  sapCount: number;
  sapSinceMs: number;
  /** Gusts in a row that pushed the same way: up when positive, down when negative. */
  gustRun: number;
  /** The bucket stands at its rim. */
  full: boolean;
  accepted: Accepted;
  excursion: Excursion | null;
};

/** One reading, and how it weighs in the filter. */
export type Heard = {
  reading: BucketReading;
  weighing: Weighing;
  setup: BucketSetup;
  elapsedMs: number;
  /** The wood is certainly frozen: nothing begins to run. */
  frozen: boolean;
};

/** Readings that must agree before anything is believed. */
export const settledCount = 3;
/** This far below its capacity a bucket counts as full, once full down to `belowRimG`, up to `aboveRimG`. */
export const rimG = 60;
const belowRimG = 150;
const aboveRimG = 300;
const rimSdG = 20; // how sap stands and spills at the rim
const rimFlowMemoryMs = msPerHour;

const strayEveryMs = 1.5 * msPerHour;
const stepEveryMs = 12 * msPerHour;
const surgeEveryMs = 2 * msPerHour;
const gustEveryMs = 3 * msPerHour;
const strayLastsMs = 45_000;
const gustLastsMs = 120_000;
const leastShare = 0.05;
const stepShareAfterStray = 0.35;
const rangeG = 30_000; // a stray weight may be any that the cell can give
const stepSdG = 5000;
const newFlowShare = 0.05;
const gustSdG = 40;
const gustTimesNoise = 4;
const longestGustRun = 4;
const leastDropG = 40;
const mostDeviations = 5;

/** The same story with another belief, and another weight where one is given. */
export function retold(
  hypothesis: Hypothesis,
  modes: Modes,
  logWeight = hypothesis.logWeight,
): Hypothesis {
  return {
    logWeight,
    modes,
    taken: hypothesis.taken,
    sapCount: hypothesis.sapCount,
    sapSinceMs: hypothesis.sapSinceMs,
    gustRun: hypothesis.gustRun,
    full: hypothesis.full,
    accepted: hypothesis.accepted,
    excursion: hypothesis.excursion,
  };
}

/** A bucket at its rim: what it weighs says nothing of the flow any more. */
export function isFull(grossG: number, wasFull: boolean, setup: BucketSetup): boolean {
  const aboveG = grossG - setup.emptyG - setup.capacityG;
  return aboveG >= -(wasFull ? belowRimG : rimG) && aboveG <= aboveRimG;
}

/** All that may follow from a hypothesis brought forward to the reading; weights are not yet made to sum to one. */
export function childrenOf(ahead: Hypothesis, heard: Heard): Hypothesis[] {
  const rates = ratesOf(ahead.taken, heard.elapsedMs);
  return [
    takenForSap(ahead, heard, Math.log(rates.sap)),
    takenForSurge(ahead, heard, Math.log(rates.sap)),
    takenForGust(ahead, heard, Math.log(rates.gust)),
    takenForStep(ahead, heard, Math.log(rates.step * (1 - newFlowShare))),
    takenForStep(withLooseFlow(ahead), heard, Math.log(rates.step * newFlowShare)),
    takenForStray(ahead, heard, Math.log(rates.stray)),
  ].filter((child) => child !== undefined);
}

/** Rates, not shares of readings, so that how often a board weighs does not matter. */
function ratesOf(taken: Taken, elapsedMs: number) {
  if (taken === "stray") {
    const stray = leastShare + (1 - 2 * leastShare) * Math.exp(-elapsedMs / strayLastsMs);
    const step = stepShareAfterStray * (1 - stray);
    const gust = leastShare * (1 - stray);
    return { stray, step, gust, sap: 1 - stray - step - gust };
  }
  const stray = 1 - Math.exp(-elapsedMs / strayEveryMs);
  const step = 1 - Math.exp(-elapsedMs / stepEveryMs);
  const gust =
    taken === "gust"
      ? leastShare + (1 - 3 * leastShare) * Math.exp(-elapsedMs / gustLastsMs)
      : 1 - Math.exp(-elapsedMs / gustEveryMs);
  return { stray, step, gust, sap: Math.max(leastShare, 1 - stray - step - gust) };
}

function takenForSap(ahead: Hypothesis, heard: Heard, logPrior: number): Hypothesis | undefined {
  const { weighing } = heard;
  const logLikelihood = ahead.full
    ? rimLogLikelihood(ahead, weighing)
    : logLikelihoodOf(ahead.modes, weighing);
  return withSap(ahead, heard, ahead.logWeight + logPrior + logLikelihood);
}

/** Sap began to run, or ceased, faster than a tree's usual restlessness has it. */
function takenForSurge(ahead: Hypothesis, heard: Heard, logPrior: number): Hypothesis | undefined {
  if (ahead.full || heard.frozen || ahead.excursion !== null) return undefined;
  const logShare = Math.log(-Math.expm1(-heard.elapsedMs / surgeEveryMs));
  return takenForSap(retold(ahead, surgeModes(ahead.modes)), heard, logPrior + logShare);
}

/** The weight is where sap alone would have brought it; undefined where it cannot be. */
export function withSap(
  ahead: Hypothesis,
  heard: Heard,
  logWeight: number,
): Hypothesis | undefined {
  const { reading, weighing, setup } = heard;
  if (!mayBeSap(ahead, heard, weighing.varianceG2)) return undefined;
  const modes = ahead.full ? atRim(ahead, heard) : updateModes(ahead.modes, weighing);
  const { massG, p00 } = massBeliefOf(modes);
  return {
    logWeight,
    modes,
    taken: "sap",
    sapCount: Math.min(settledCount, ahead.sapCount + 1),
    sapSinceMs: ahead.sapCount === 0 ? reading.atMs : ahead.sapSinceMs,
    gustRun: 0,
    full: isFull(massG, ahead.full, setup),
    accepted: { atMs: reading.atMs, massG, varianceG2: p00 },
    excursion: ahead.excursion,
  };
}

/**
 * Wind pushes the bucket about: the weight is worth less, but no hand was there. Wind pushes both ways; what stays
 * on one side, or comes with a step that is not settled yet, is none.
 */
function takenForGust(ahead: Hypothesis, heard: Heard, logPrior: number): Hypothesis | undefined {
  const { weighing } = heard;
  const sdG = Math.max(gustSdG, gustTimesNoise * Math.sqrt(weighing.varianceG2));
  const varianceG2 = weighing.varianceG2 + sdG * sdG;
  if (ahead.full || hasStepped(ahead) || !mayBeSap(ahead, heard, varianceG2)) return undefined;
  const side = Math.sign(weighing.massG - massOf(ahead.modes));
  const gustRun = side * ahead.gustRun > 0 ? ahead.gustRun + side : side;
  if (Math.abs(gustRun) > longestGustRun) return undefined;
  const rough = { ...weighing, varianceG2 };
  return {
    logWeight: ahead.logWeight + logPrior + logLikelihoodOf(ahead.modes, rough),
    modes: updateModes(ahead.modes, rough),
    taken: "gust",
    sapCount: 0,
    sapSinceMs: ahead.sapSinceMs,
    gustRun,
    full: ahead.full,
    accepted: ahead.accepted,
    excursion: ahead.excursion,
  };
}

/** Sap never leaves a bucket by itself, however long nobody looked; a bucket off its cell weighs no sap. */
function mayBeSap(ahead: Hypothesis, heard: Heard, varianceG2: number): boolean {
  const { reading, setup, weighing } = heard;
  if (reading.massG < awayBelowG(setup) || needsNewLevel(ahead.excursion)) return false;
  const { accepted } = ahead;
  const dropG = accepted.massG - (weighing.massG - weighing.leverK * ahead.modes.calm.driftGPerK);
  const sdG = Math.sqrt(accepted.varianceG2 + varianceG2);
  return dropG <= Math.max(leastDropG, mostDeviations * sdG);
}

/** The load was changed: the mass is what it weighs now, the flow what it was. */
function takenForStep(ahead: Hypothesis, heard: Heard, logPrior: number): Hypothesis | undefined {
  const { reading, weighing, setup } = heard;
  if (!isPlausibleLevel(reading.massG, setup) || hasStepped(ahead)) return undefined;
  const belief = massBeliefOf(ahead.modes);
  const excursion = ahead.excursion ?? startExcursion(ahead.accepted, reading.atMs);
  const modes = relevelModes(ahead.modes, weighing);
  const massG = massOf(modes);
  return {
    logWeight: ahead.logWeight + logPrior + logNormal(massG - belief.massG, stepSdG ** 2),
    modes,
    taken: "sap",
    sapCount: 1,
    sapSinceMs: reading.atMs,
    gustRun: 0,
    full: isFull(massG, false, setup),
    accepted: { atMs: reading.atMs, massG, varianceG2: weighing.varianceG2 },
    excursion: stepped(excursion, belief, reading.atMs),
  };
}

/** Who handles a bucket may also change what flows into it. */
function withLooseFlow(ahead: Hypothesis): Hypothesis {
  return retold(ahead, loosenFlow(ahead.modes));
}

/** No weight of this bucket's: a spike, a hand on it, or the bucket off its cell. */
function takenForStray(ahead: Hypothesis, heard: Heard, logPrior: number): Hypothesis {
  const { reading, elapsedMs, setup } = heard;
  const begun = ahead.excursion ?? startExcursion(ahead.accepted, reading.atMs);
  const excursion = strayed(begun, reading, { elapsedMs, setup });
  const modes = unstepped(ahead);
  // Beside a bucket that is off its cell the sap runs to the ground.
  const ranBesideG = excursion.awayNow ? (flowOf(modes) * elapsedMs) / msPerHour : 0;
  return {
    logWeight: ahead.logWeight + logPrior - Math.log(rangeG),
    modes: shifted(modes, -ranBesideG),
    taken: "stray",
    sapCount: 0,
    sapSinceMs: ahead.sapSinceMs,
    gustRun: ahead.gustRun,
    full: false,
    accepted: ahead.accepted,
    excursion,
  };
}

export function hasStepped({ excursion }: Hypothesis): boolean {
  return excursion !== null && excursion.steppedMs !== null;
}

/** A level that is left before it was believed was none: back at what sap alone would have brought. */
function unstepped(ahead: Hypothesis): Modes {
  const { modes, excursion } = ahead;
  if (excursion === null || !hasStepped(ahead)) return modes;
  const { expectedG, expectedVarianceG2 } = excursion;
  return relevelModes(modes, { massG: expectedG, leverK: 0, varianceG2: expectedVarianceG2 });
}

function atRim(ahead: Hypothesis, { weighing, elapsedMs }: Heard): Modes {
  const flowShare = Math.exp(-elapsedMs / rimFlowMemoryMs);
  return updateModesAtRim(ahead.modes, weighing, { flowShare, rimSdG });
}

/** At the rim any weight between nothing spilt and all of it is as good as another. */
function rimLogLikelihood(ahead: Hypothesis, weighing: Weighing): number {
  return logNormal(rimDistanceG(ahead, weighing), rimSdG ** 2 + weighing.varianceG2);
}

function rimDistanceG({ modes, accepted }: Hypothesis, weighing: Weighing): number {
  const restG = weighing.massG - weighing.leverK * modes.calm.driftGPerK;
  const lowG = Math.min(accepted.massG, massOf(modes));
  return restG < lowG ? restG - lowG : Math.max(0, restG - massOf(modes));
}

/** Square of how many standard deviations a reading lies off, at the rim. */
export function rimSurprise(ahead: Hypothesis, weighing: Weighing): number {
  return rimDistanceG(ahead, weighing) ** 2 / (rimSdG ** 2 + weighing.varianceG2);
}
