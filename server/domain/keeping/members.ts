// The small fixed grid of possible floras that boil-by takes its careful tenth percentile from.
import {
  boilByPerMl,
  type Flora,
  freshLogSd,
  freshPerMl,
  leastCSd,
  medianFlora,
  slopeRelativeSd,
} from "./growth.ts";

/** Three equally likely points with the mean and spread of a standard normal value. */
const gridZ = [-Math.sqrt(1.5), 0, Math.sqrt(1.5)];
/** The tenth percentile of 27 times is the third to come. */
const earlyRank = 3;

/** Nine floras, slope by least temperature. */
export const floras: readonly Flora[] = gridZ.flatMap((slopeZ) =>
  gridZ.map((leastZ) => ({
    slope: medianFlora.slope * (1 + slopeRelativeSd * slopeZ),
    leastC: medianFlora.leastC + leastCSd * leastZ,
  })),
);

/** Each flora with a clean, a usual and a foul tap: member = flora index * 3 + tap index. */
export const memberCount = floras.length * gridZ.length;

export function floraOf(member: number): number {
  return Math.floor(member / gridZ.length);
}

/** Count per mL that this member's sap has fresh from the tap. */
export function memberFreshPerMl(member: number, seasonDay: number, weekMeanC: number): number {
  const z = gridZ[member % gridZ.length] ?? 0;
  return freshPerMl(seasonDay, weekMeanC) * 10 ** (freshLogSd * z);
}

/** The third highest of the members' values: the one whose crossing is the early tenth percentile. */
export function earlyOf(values: readonly number[]): number {
  return [...values].sort((a, b) => b - a)[earlyRank - 1] ?? Number.NEGATIVE_INFINITY;
}

/** How far a count per mL has come from fresh to boil-by on the log scale, 0-1. */
export function spentOf(perMl: number, freshlyPerMl: number): number {
  const share = Math.log(perMl / freshlyPerMl) / Math.log(boilByPerMl / freshlyPerMl);
  return Math.min(1, Math.max(0, share));
}
