// How sap keeps in its bucket: its temperature, its ice, and the count that grows towards boil-by.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour } from "../../../shared/units.ts";
import { sunlightWM2 } from "../brim/air-past.ts";
import type { Slot } from "../bucket.ts";
import { type AirDay, addAir, startAirDay } from "./air-ahead.ts";
import { boilByPerMl, countAfter, growthPerH, medianFlora, mostPerMl } from "./growth.ts";
import {
  earlyOf,
  memberCount,
  memberFloras,
  memberFreshPerMl,
  memberWallCount,
} from "./members.ts";
import { partOf } from "./mixing.ts";
import { enthalpyOfLiquidJ, sapFreezesC, sapNode, stepEnthalpyJ } from "./temperature.ts";

export type KeepingState = {
  /** End of the last slot, null before the first. */
  atMs: number | null;
  netG: number;
  enthalpyJ: number;
  /** Temperature of the wood that the sap comes from; null before any air temperature. */
  stemC: number | null;
  weekMeanC: number;
  seasonDay: number;
  /** Total count of each member of the ensemble. */
  counts: readonly number[];
  /** Since when boil-by is past, null when it is not. */
  pastSinceMs: number | null;
  airDay: AirDay;
  /** When a person last washed the bucket, null for never. */
  washedMs: number | null;
  /** UTC hour at which the sun stands highest; null while that is not known. */
  noonHour: number | null;
  /** Share of the sunlight that reaches the bucket. */
  sunShare: number;
};

export type KeepingStep = {
  slot: Slot;
  dtMs: number;
  /** Days since tapping, or since the season's first reading. */
  seasonDay: number;
  /** The last washing up to the slot's end. */
  washedMs?: number | undefined;
  /** UTC hour at which the sun stands highest; without it there is no sun. */
  noonHour?: number | null;
  /** Share of the sunlight that reaches the bucket, 0-1; all of it when left out. */
  sunShare?: number | undefined;
};

const longestStepMs = msPerHour / 2;
const stemLagH = 4;
const warmestStemC = 6;
const weekLagH = 84;
/** A jump beyond this that is no sap: emptied, poured off, put on. */
const handledG = 100;
const emptiedBelowG = 400;
/** A washing counts for an emptying that the cell saw so much later. */
const washedBeforeMs = 2 * msPerHour;

export function startKeeping(): KeepingState {
  return {
    atMs: null,
    netG: 0,
    enthalpyJ: 0,
    stemC: null,
    weekMeanC: 0,
    seasonDay: 0,
    counts: new Array<number>(memberCount).fill(0),
    pastSinceMs: null,
    airDay: startAirDay(),
    washedMs: null,
    noonHour: null,
    sunShare: 1,
  };
}

/**
 * The state after one more slot. Inflow brings its own count and warmth; what leaves takes its share,
 * and a bucket that was emptied keeps what clings to the wall.
 */
export function stepKeeping(state: KeepingState, step: KeepingStep): KeepingState {
  const { slot, dtMs, seasonDay, noonHour = null, sunShare = 1 } = step;
  const { atMs, airC } = slot;
  const airDay = airC === undefined ? state.airDay : addAir(state.airDay, { atMs, airC });
  const washedMs = step.washedMs ?? null;
  const known = { ...state, airDay, seasonDay, washedMs, noonHour, sunShare };
  const air = airC ?? airDay.lastC;
  const aged =
    state.atMs === null || air === null
      ? met(known, slot, air)
      : agedOver(known, { slot, dtMs, air });
  const handled = washedSince(withHandling(aged, slot), state.atMs);
  const isPast = earlyPerMl(handled) >= boilByPerMl;
  return { ...handled, atMs, pastSinceMs: isPast ? (state.pastSinceMs ?? atMs) : null };
}

/** The members' early tenth percentile of the count per mL; 0 when nothing is in. */
export function earlyPerMl(state: KeepingState): number {
  return state.netG <= 0 ? 0 : earlyOf(state.counts) / mlFromG(state.netG);
}

/** First met, or no air temperature yet: what stands there counts as fresh and as warm as the air. */
function met(state: KeepingState, slot: Slot, airC: number | null): KeepingState {
  const netG = Math.max(0, slot.netG);
  const stemC = airC === null ? null : stemFrom(airC);
  const weekMeanC = airC ?? state.weekMeanC;
  return {
    ...state,
    netG,
    stemC,
    weekMeanC,
    enthalpyJ: enthalpyOfLiquidJ(airC ?? sapFreezesC, netG),
    counts: freshCounts({ ...state, weekMeanC }, netG),
  };
}

function agedOver(
  state: KeepingState,
  { slot, dtMs, air }: { slot: Slot; dtMs: number; air: number },
): KeepingState {
  const steps = Math.max(1, Math.ceil(dtMs / longestStepMs));
  const dtH = dtMs / steps / msPerHour;
  const inflowG = Math.max(0, slot.inflowG) / steps;
  let next = state;
  for (let step = 0; step < steps; step += 1) {
    const middleMs = slot.atMs - (steps - step - 0.5) * (dtMs / steps);
    next = agedBy(next, { airC: air, inflowG, dtH, sunWPerM2: sunOn(state, middleMs) });
  }
  return next;
}

/** Sunlight on the bucket, W/m2. */
export function sunOn(
  { noonHour, sunShare }: Pick<KeepingState, "noonHour" | "sunShare">,
  atMs: number,
): number {
  return sunShare * sunlightWM2(atMs, noonHour);
}

type Weather = { airC: number; sunWPerM2: number; inflowG: number; dtH: number };

function agedBy(state: KeepingState, weather: Weather): KeepingState {
  const { airC, sunWPerM2, inflowG, dtH } = weather;
  const inflowC = state.stemC ?? stemFrom(airC);
  const massG = state.netG + inflowG / 2;
  const enthalpyJ = stepEnthalpyJ({
    enthalpyJ: state.enthalpyJ,
    massG,
    airC,
    sunWPerM2,
    inflowGPerH: inflowG / dtH,
    inflowC,
    dtH,
  });
  const before = sapNode(state.enthalpyJ, massG);
  const after = sapNode(enthalpyJ, massG);
  const tempC = (before.tempC + after.tempC) / 2;
  const liquid = 1 - (before.iceFraction + after.iceFraction) / 2;
  const netG = state.netG + inflowG;
  const inflow = freshCounts(state, inflowG);
  const mostCount = mostPerMl * mlFromG(netG);
  const counts = state.counts.map((count, member) => {
    const ratePerH = growthPerH(tempC, memberFloras[member] ?? medianFlora) * liquid;
    const inflowPerH = (inflow[member] ?? 0) / dtH;
    return Math.min(countAfter(count, { ratePerH, inflowPerH, dtH }), mostCount);
  });
  return {
    ...state,
    netG,
    enthalpyJ,
    stemC: stemFrom(inflowC + (airC - inflowC) * -Math.expm1(-dtH / stemLagH)),
    weekMeanC: state.weekMeanC + (airC - state.weekMeanC) * -Math.expm1(-dtH / weekLagH),
    counts,
  };
}

/** What the ledger does not call sap changes neither the count per mL nor the temperature. */
function withHandling(state: KeepingState, slot: Slot): KeepingState {
  const netG = Math.max(0, slot.netG);
  if (Math.abs(netG - state.netG) <= handledG || state.netG <= 0) {
    return { ...state, netG };
  }
  const part = partOf(state, netG / state.netG);
  const emptied = netG < emptiedBelowG && netG < state.netG / 2;
  const washed = slot.atMs - (state.washedMs ?? Number.NEGATIVE_INFINITY) <= washedBeforeMs;
  const counts = emptied
    ? part.counts.map((count, member) => count + memberWallCount(member, washed))
    : part.counts;
  return { ...state, netG, enthalpyJ: part.enthalpyJ, counts };
}

/** A washing since the last slot leaves what little is in the bucket as good as fresh. */
function washedSince(state: KeepingState, lastMs: number | null): KeepingState {
  const { washedMs, netG } = state;
  if (washedMs === null || lastMs === null || washedMs <= lastMs || netG >= emptiedBelowG) {
    return state;
  }
  const fresh = freshCounts(state, netG);
  return { ...state, counts: fresh.map((count, member) => count + memberWallCount(member, true)) };
}

function freshCounts(state: KeepingState, massG: number): number[] {
  const volumeMl = mlFromG(massG);
  return state.counts.map(
    (_, member) => volumeMl * memberFreshPerMl(member, state.seasonDay, state.weekMeanC),
  );
}

function stemFrom(tempC: number): number {
  return Math.min(warmestStemC, Math.max(sapFreezesC, tempC));
}

function mlFromG(massG: number): number {
  return volumeLFromG(massG) * 1000;
}
