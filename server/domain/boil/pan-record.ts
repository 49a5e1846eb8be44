// What the boils so far say of the pan and the fire: the rate of evaporation and the share of heat that arrives.
import { flatPanMmPerH } from "../../../shared/syrup/boil.ts";
import { type Arch, type FuelKind, usualEfficiencyOf } from "../../../shared/syrup/fuel.ts";
import {
  type FitRange,
  firstFit,
  fitWith,
  type RunningFit,
  rangeOfFit,
} from "../../../shared/syrup/running-fit.ts";
import type { BoilAccount } from "./account.ts";

export type Learned = FitRange & { boils: number; usual: number };
export type PanRecord = { evaporation: Learned; efficiency: Learned };

export type TaughtBoil = { fuel: FuelKind; arch: Arch } & Pick<
  BoilAccount,
  "evaporationMmPerH" | "efficiency"
>;

// Pans with flues do several times what a flat one does; fires differ by half.
const panWeight = 0.07;
const fireWeight = 0.25;

/** Boils that ended, over a fire of this kind. Until one teaches, the usual values with a wide range. */
export function panRecordOf(
  boils: readonly TaughtBoil[],
  fire: { fuel: FuelKind; arch: Arch },
): PanRecord {
  const alike = boils.filter(
    ({ fuel, arch }) => fuel === fire.fuel && (fuel !== "wood" || arch === fire.arch),
  );
  const rates = alike.map(({ evaporationMmPerH }) => evaporationMmPerH);
  const shares = alike.map(({ efficiency }) => efficiency);
  const usual = usualEfficiencyOf(fire);
  const efficiency = learned(firstFit(usual, fireWeight), shares, usual);
  return {
    evaporation: learned(firstFit(flatPanMmPerH, panWeight), rates, flatPanMmPerH),
    efficiency: { ...efficiency, high: Math.min(1, efficiency.high) },
  };
}

function learned(first: RunningFit, seen: readonly (number | null)[], usual: number): Learned {
  const fit = seen
    .filter((value) => value !== null)
    .reduce((before, value) => fitWith(before, value), first);
  return { ...rangeOfFit(fit), boils: fit.observations, usual };
}
