// How wrong outlooks on the air are, by how far ahead they tell it: supposed at first, then by what came of them.
import { msPerDay, msPerHour } from "../../../shared/units.ts";
import type { AirPoint } from "../keeping/air-ahead.ts";
import { airWithin } from "./outlook.ts";

/** What was told for one lead of the air, with what is known now taken in. */
export type AirTold = { leadH: number; toldC: number };

/** One whose time has come. */
export type ClosedAir = AirTold & { atMs: number; cameC: number };

/** By `airLeadsH`, how many times as wrong as supposed; between those in between, outside them the nearest. */
export type AirScale = readonly number[];

export const airLeadsH = [6, 12, 18, 24, 30, 36] as const;
export const asSupposed: AirScale = airLeadsH.map(() => 1);

/** What is wrong with an outlook now fades within hours, what will be wrong wanders and grows [own]. */
const nowErrorH = 5;
export const wanderH = 8;
const wander = { sdC: 0.6, sdCPerH: 0.025 };
export const tiltSdCPerH = 0.03;
/** Outlooks that what is supposed counts for, and days in which what came fades. */
const priorWeight = 20;
const fadingDays = 14;
const range = { low: 0.5, high: 3 };

/** Share of what is wrong now that still is, so far ahead. */
export function nowShare(leadH: number): number {
  return Math.exp(-leadH / nowErrorH);
}

/** Standard deviation of what wanders: what is measured now is known, so that it comes in with the hours. */
export function wanderSdC(leadH: number): number {
  return (wander.sdC + wander.sdCPerH * leadH) * (1 - nowShare(leadH));
}

/** What an outlook tells of the air at each lead it reaches, moved to the air of now as far as that holds. */
export function airToldBy(
  outlook: readonly AirPoint[],
  now: { atMs: number; airC: number },
): AirTold[] {
  const nowErrorC = now.airC - (airWithin(outlook, now.atMs) ?? now.airC);
  return airLeadsH.flatMap((leadH) => {
    const outlookC = airWithin(outlook, now.atMs + leadH * msPerHour);
    return outlookC === null ? [] : [{ leadH, toldC: outlookC + nowErrorC * nowShare(leadH) }];
  });
}

/** How wrong outlooks were of late, against what is supposed of them. */
export function airScaleFrom(closed: readonly ClosedAir[], nowMs: number): AirScale {
  return airLeadsH.map((lead) => {
    const supposed = wanderSdC(lead) ** 2 + (tiltSdCPerH * lead) ** 2;
    let weights = priorWeight;
    let squares = priorWeight;
    for (const { leadH, atMs, toldC, cameC } of closed) {
      if (leadH !== lead) continue;
      const weight = Math.exp((atMs - nowMs) / msPerDay / fadingDays);
      weights += weight;
      squares += (weight * (cameC - toldC) ** 2) / supposed;
    }
    return Math.min(range.high, Math.max(range.low, Math.sqrt(squares / weights)));
  });
}

/** The scale so far ahead. */
export function scaleAt(scale: AirScale, leadH: number): number {
  const [firstH, secondH] = airLeadsH;
  const place = (leadH - firstH) / (secondH - firstH);
  const index = Math.min(airLeadsH.length - 2, Math.max(0, Math.floor(place)));
  const part = Math.min(1, Math.max(0, place - index));
  const before = scale[index] ?? 1;
  return before + part * ((scale[index + 1] ?? before) - before);
}
