// When the air thawed after frost, and how a tree ran in the hours around it, on the mean of several thaws.
import { msPerHour } from "../../shared/units.ts";
import { mean } from "./middle.ts";

export type AirSlot = { atMs: number; airC?: number };

/** A thermometer that wavers about 0 tells of no thaw: it has to go so far below and above (own choice). */
const surelyC = 0.5;
const longestGapMs = 3 * msPerHour;

type Sight = { atMs: number; airC: number };
type Walk = { before: Sight | undefined; isFrozen: boolean; crossedMs: number };

/** Instants at which the air rose through 0 Cel after frost, in order of time. */
export function thawsOf(slots: readonly AirSlot[]): number[] {
  const thawsMs: number[] = [];
  let walk: Walk = { before: undefined, isFrozen: false, crossedMs: 0 };
  for (const { atMs, airC } of slots) {
    if (airC === undefined) continue;
    walk = walkedTo(walk, { atMs, airC });
    if (!walk.isFrozen || airC < surelyC) continue;
    thawsMs.push(walk.crossedMs);
    walk = { ...walk, isFrozen: false };
  }
  return thawsMs;
}

function walkedTo({ before, isFrozen, crossedMs }: Walk, now: Sight): Walk {
  const isGap = before === undefined || now.atMs - before.atMs > longestGapMs;
  const crosses = !isGap && before.airC < 0 && now.airC >= 0;
  return {
    before: now,
    isFrozen: now.airC <= -surelyC || (isFrozen && !isGap),
    crossedMs: crosses ? crossingMs(before, now) : crossedMs,
  };
}

function crossingMs(before: Sight, now: Sight): number {
  const share = before.airC / (before.airC - now.airC);
  return Math.round(before.atMs + (now.atMs - before.atMs) * share);
}

/** The first thaw of each day. */
export function firstOfDays(thawsMs: readonly number[], dayOf: (atMs: number) => string): number[] {
  return thawsMs.filter(
    (atMs, index) => index === 0 || dayOf(atMs) !== dayOf(thawsMs[index - 1] ?? atMs),
  );
}

export type AlignedFlow = { atMs: number; flowGPerH: number | null };

/**
 * Mean flow in g/h at each offset in ms from a thaw; null where fewer than half of the thaws tell it.
 * Flows stand in order of time; the one up to `withinMs` later than the offset counts.
 */
export function meanAfter(
  flows: readonly AlignedFlow[],
  thawsMs: readonly number[],
  at: { offsetsMs: readonly number[]; withinMs: number },
): (number | null)[] {
  return at.offsetsMs.map((offsetMs) => {
    const known = thawsMs.flatMap((thawMs) => {
      const flow = flowAt(flows, thawMs + offsetMs, at.withinMs);
      return flow === null ? [] : [flow];
    });
    return known.length === 0 || known.length * 2 < thawsMs.length ? null : mean(known);
  });
}

function flowAt(flows: readonly AlignedFlow[], atMs: number, withinMs: number): number | null {
  let low = 0;
  let high = flows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((flows[middle]?.atMs ?? 0) < atMs) low = middle + 1;
    else high = middle;
  }
  const found = flows[low];
  return found === undefined || found.atMs - atMs >= withinMs ? null : found.flowGPerH;
}
