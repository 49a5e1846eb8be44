// What every kind of simulated tree answers to: weather in, flow of sap out.
import type { Weather } from "./weather.ts";

export type TreeStep = {
  weather: Weather;
  /** Hour of the yard's wall clock, 0-24. */
  hourOfDay: number;
  stepH: number;
  /** Days since the taps were bored. */
  seasonDay: number;
};

/** Steps the tree and gives the flow of all its taps together in g/h. */
export type Tree = { step(step: TreeStep): number };

export type TreeSettings = {
  seed: number;
  /** Sap that one tap gives after a full freeze, in litres. */
  vigourL: number;
  taps: number;
};

/** 2 Brix sap near freezing, ICUMSA density. */
export const sapGPerL = 1008;
/** A single tap does not give more: ceiling of the simulated yard, common practice, no source. */
export const tapCeilingGPerH = 1.5 * sapGPerL;
/** Tap holes silt up: what is left of the flow after so many days [own]. */
export function tapHoleShare(seasonDay: number): number {
  return Math.exp(-((Math.min(seasonDay, 20) / 34) ** 3));
}
/** A second tap shares the same stores and brings less than the first [own]. */
export function tapFactor(taps: number): number {
  return 1 + 0.7 * (taps - 1);
}
