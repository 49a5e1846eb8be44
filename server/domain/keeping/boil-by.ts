// What keeping comes to for people: temperature, ice, how far spent, and by when to boil.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour } from "../../../shared/units.ts";
import type { Keeping } from "../../../shared/wire/api.ts";
import { boilByPerMl, growthPerH } from "./growth.ts";
import type { KeepingState } from "./keeping.ts";
import { earlyOf, floraOf, floras, memberFreshPerMl, spentOf } from "./members.ts";
import { sapNode, stepEnthalpyJ } from "./temperature.ts";

export type KeepingAnswer =
  | { keeping: Keeping; missing: null }
  | { keeping: null; missing: string };

export type KeepingQuestion = {
  nowMs: number;
  netG: number;
  /** Air temperature to expect; null when none is known. */
  airAheadC: ((atMs: number) => number) | null;
};

const leastSapG = 50;
const horizonH = 14 * 24;
const airTooOldMs = 6 * msPerHour;

/** Keeping at nowMs, or null with the reason in plain words when no air temperature is known. */
export function keepingOf(state: KeepingState, question: KeepingQuestion): KeepingAnswer {
  const { nowMs, netG, airAheadC } = question;
  const { lastAtMs } = state.airDay;
  if (state.atMs === null) {
    return { keeping: null, missing: "no ten minutes of weighing yet" };
  }
  if (lastAtMs === null || airAheadC === null) {
    return { keeping: null, missing: "no air temperature is known here" };
  }
  if (nowMs - lastAtMs > airTooOldMs) {
    const hours = Math.floor((nowMs - lastAtMs) / msPerHour);
    return { keeping: null, missing: `no air temperature for ${hours} h` };
  }
  const node = sapNode(state.enthalpyJ, state.netG);
  const empty = netG < leastSapG || state.netG < leastSapG;
  const keeping = {
    sapTempC: Math.round(node.tempC * 100) / 100,
    iceFraction: Math.round(node.iceFraction * 1000) / 1000,
    spentFraction: empty ? 0 : spentFraction(state),
    boilByMs: empty ? null : (state.pastSinceMs ?? boilBy(state, state.atMs, airAheadC)),
  };
  return { keeping, missing: null };
}

function spentFraction(state: KeepingState): number {
  const spent = state.counts.map((count, member) =>
    spentOf(
      count / mlFromG(state.netG),
      memberFreshPerMl(member, state.seasonDay, state.weekMeanC),
    ),
  );
  return Math.round(earlyOf(spent) * 1000) / 1000;
}

/** When the early count passes boil-by if nothing more runs in; null when not within 14 days. */
function boilBy(
  state: KeepingState,
  fromMs: number,
  airAheadC: (atMs: number) => number,
): number | null {
  const limit = Math.log(boilByPerMl);
  let logs = state.counts.map((count) => Math.log(count / mlFromG(state.netG)));
  let enthalpyJ = state.enthalpyJ;
  let early = earlyOf(logs);
  for (let hour = 0; hour < horizonH; hour += 1) {
    const airC = airAheadC(fromMs + (hour + 0.5) * msPerHour);
    const massG = state.netG;
    const nextJ = stepEnthalpyJ({ enthalpyJ, massG, airC, inflowGPerH: 0, inflowC: 0, dtH: 1 });
    const growth = growthOver(sapNode(enthalpyJ, massG), sapNode(nextJ, massG));
    logs = logs.map((log, member) => log + (growth[floraOf(member)] ?? 0));
    const nextEarly = earlyOf(logs);
    if (nextEarly >= limit) {
      return Math.round(fromMs + (hour + (limit - early) / (nextEarly - early)) * msPerHour);
    }
    early = nextEarly;
    enthalpyJ = nextJ;
  }
  return null;
}

function growthOver(
  before: { tempC: number; iceFraction: number },
  after: { tempC: number; iceFraction: number },
): number[] {
  const tempC = (before.tempC + after.tempC) / 2;
  const liquid = 1 - (before.iceFraction + after.iceFraction) / 2;
  return floras.map((flora) => growthPerH(tempC, flora) * liquid);
}

function mlFromG(massG: number): number {
  return volumeLFromG(massG) * 1000;
}
