// The ensemble of possible floras, taps, walls and weather that boil-by takes its careful tenth percentile from.

import {
  boilByPerMl,
  type Flora,
  freshLogSd,
  freshPerMl,
  leastCSd,
  medianFlora,
  slopeRelativeSd,
} from "./growth.ts";
import { normalQuantile } from "./normal-quantile.ts";

export const memberCount = 64;
/** The tenth percentile of 64 times is the seventh to come. */
export const earlyRank = 7;
/** The weather ahead is taken in so many equally likely ways: members of one share its temperature. */
export const weatherCount = 4;

/** Volume that clings to the wall of an emptied bucket (own estimate). */
const wallMl = 50;
/** Counts per mL of what clings: left as it was, and after washing (own estimates). */
const wallPerMl = { asLeft: 1e4, washed: 1e2 };
const wallLogSd = 0.5;

/** Times the usual count fresh from the tap, and on the wall. */
type Member = { flora: Flora; freshTimes: number; wallTimes: number };

/**
 * A rank-1 lattice (N. M. Korobov 1959, from memory): on each axis every 64th has one member. These generators
 * leave the five axes the least correlated, below 0.11.
 */
const generators = { slope: 1, least: 37, fresh: 41, wall: 45, weather: 25 };

function shareOf(member: number, generator: number): number {
  return (((member * generator) % memberCount) + 0.5) / memberCount;
}

function zOf(member: number, generator: number): number {
  return normalQuantile(shareOf(member, generator));
}

const members: readonly Member[] = Array.from({ length: memberCount }, (_, member) => ({
  flora: {
    slope: medianFlora.slope * (1 + slopeRelativeSd * zOf(member, generators.slope)),
    leastC: medianFlora.leastC + leastCSd * zOf(member, generators.least),
  },
  freshTimes: 10 ** (freshLogSd * zOf(member, generators.fresh)),
  wallTimes: 10 ** (wallLogSd * zOf(member, generators.wall)),
}));

export const memberFloras: readonly Flora[] = members.map(({ flora }) => flora);

/** Which of the ways of the weather a member lives through. */
export function weatherOf(member: number): number {
  return Math.floor(shareOf(member, generators.weather) * weatherCount);
}

/** Standard normal value of a way of the weather: the middle of its equal share. */
export function weatherZ(weather: number): number {
  return normalQuantile((weather + 0.5) / weatherCount);
}

/** Count per mL that this member's sap has fresh from the tap. */
export function memberFreshPerMl(member: number, seasonDay: number, weekMeanC: number): number {
  return freshPerMl(seasonDay, weekMeanC) * (members[member]?.freshTimes ?? 1);
}

/** Count on the wall of a bucket that was emptied. */
export function memberWallCount(member: number, washed: boolean): number {
  const perMl = washed ? wallPerMl.washed : wallPerMl.asLeft;
  return wallMl * perMl * (members[member]?.wallTimes ?? 1);
}

/** The seventh highest of the members' values: the one whose crossing is the early tenth percentile. */
export function earlyOf(values: readonly number[]): number {
  return new Float64Array(values).sort().at(-earlyRank) ?? Number.NEGATIVE_INFINITY;
}

/** How far a count per mL has come from fresh to boil-by on the log scale, 0-1. */
export function spentOf(perMl: number, freshlyPerMl: number): number {
  const share = Math.log(perMl / freshlyPerMl) / Math.log(boilByPerMl / freshlyPerMl);
  return Math.min(1, Math.max(0, share));
}
