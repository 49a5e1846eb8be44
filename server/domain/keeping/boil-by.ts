// What keeping comes to for people: temperature, ice, how far spent, and by when to boil.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour } from "../../../shared/units.ts";
import type { Keeping } from "../../../shared/wire/api.ts";
import { boilByPerMl } from "./growth.ts";
import { earlyPerMl, type KeepingState, sunOn } from "./keeping.ts";
import { earlyOf, memberFreshPerMl, spentOf } from "./members.ts";
import { boilByOf } from "./standing.ts";
import { sapNode } from "./temperature.ts";

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
  const weather = { airC: airAheadC, sunWPerM2: (atMs: number) => sunOn(state, atMs) };
  const keeping = {
    sapTempC: Math.round(node.tempC * 100) / 100,
    iceFraction: Math.round(node.iceFraction * 1000) / 1000,
    spentFraction: empty ? 0 : spentFraction(state),
    boilByMs: empty ? null : (state.pastSinceMs ?? boilByOf(state, state.atMs, weather)),
    risk: empty ? ("fresh" as const) : riskOf(state),
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

/** The counts per mL from which sap darkens its syrup, should be boiled at once, and is past trusting (own). */
const riskFromPerMl = { ageing: 1e5, late: boilByPerMl, doubtful: 1e7 };

function riskOf(state: KeepingState): Keeping["risk"] {
  const perMl = earlyPerMl(state);
  if (perMl >= riskFromPerMl.doubtful) return "doubtful";
  if (perMl >= riskFromPerMl.late) return "late";
  return perMl >= riskFromPerMl.ageing ? "ageing" : "fresh";
}

function mlFromG(massG: number): number {
  return volumeLFromG(massG) * 1000;
}
