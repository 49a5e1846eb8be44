// Names what happened to a bucket once its weight has come to rest, and what of it was gathered.
import type { FlowEvent, FlowEventKind } from "../bucket.ts";
import { type Accepted, type Excursion, wasLifted } from "./excursion.ts";

const handlingSdG = 12; // hanging a bucket back never gives quite the same weight
const leastDeviations = 2.5;
const almostEmptyG = 400;
const leastGatheredG = 100;
const leastExcursionG = 100;
const leastLeaningG = 250;
const mostSquallG = 250;
const mostSurgeG = 200;
const surgeH = 0.25;
/** Snow that slides off a lid goes from one weight to the next: nobody pours so little off so quickly. */
const mostShedG = 400;
const sameLoadShare = 0.05;
const longestLoadMs = 2 * 86_400_000;
const mostLoads = 3;

/** Something that was laid on a bucket, or snow on its lid, in g. */
export type Load = { atMs: number; massG: number };

type Settled = {
  accepted: Accepted;
  sapSinceMs: number;
  emptyG: number;
  loads: readonly Load[];
  /** The wood is certainly frozen: what comes is no sap. */
  frozen: boolean;
  /** What runs by now. */
  flowGPerH: number;
};

/** What an excursion was, now that the weight is at rest; undefined when it was nothing to speak of. */
export function eventOf(excursion: Excursion, settled: Settled): FlowEvent | undefined {
  return excursion.steppedMs === null
    ? eventAtReturn(excursion, settled.sapSinceMs)
    : eventAtNewLevel(excursion, excursion.steppedMs, settled);
}

/** At rest at a level of its own. */
function eventAtNewLevel(
  excursion: Excursion,
  steppedMs: number,
  settled: Settled,
): FlowEvent | undefined {
  const { accepted } = settled;
  const { before, expectedG, expectedVarianceG2 } = excursion;
  const changeG = accepted.massG - before.massG;
  const deltaG = accepted.massG - expectedG;
  const allowedG = allowedFor(expectedVarianceG2 + accepted.varianceG2);
  const isDrop =
    deltaG < -allowedG || changeG < -allowedFor(before.varianceG2 + accepted.varianceG2);
  const span = { atMs: excursion.sinceMs, untilMs: steppedMs, deltaG };
  if (isDrop) return { kind: kindOfDrop(excursion, settled, allowedG), ...span };
  if (excursion.longUnheard) return undefined;
  if (excursion.count === 0 && cameByItself(settled, deltaG, allowedG)) return undefined;
  if (deltaG > allowedG) return { kind: "load-added", ...span };
  return { kind: wasLifted(excursion) ? "lifted" : "leaned-on", ...span };
}

/**
 * With nobody seen to touch the bucket: in frost snow settles, more in a squall, and the books know that it is no sap;
 * otherwise sap began to run faster than was thought.
 */
function cameByItself({ frozen, flowGPerH }: Settled, deltaG: number, allowedG: number): boolean {
  if (frozen) return deltaG < mostSquallG;
  return deltaG <= allowedG || (deltaG < mostSurgeG && flowGPerH * surgeH > deltaG);
}

function kindOfDrop(
  excursion: Excursion,
  { accepted, emptyG, loads }: Settled,
  allowedG: number,
): FlowEventKind {
  const { expectedG } = excursion;
  const goneG = expectedG - accepted.massG;
  const isLoad = goneG < mostShedG && excursion.count === 0 && !excursion.longUnheard;
  if (!wasLifted(excursion) && (isLoad || wasLaidOn(loads, goneG, allowedG))) return "load-off";
  const netAfterG = accepted.massG - emptyG;
  const isEmptied = netAfterG < almostEmptyG && netAfterG < (expectedG - emptyG) / 2;
  return isEmptied ? "emptied" : "poured-off";
}

/** True when the weight that is gone is one that was laid on before. */
function wasLaidOn(loads: readonly Load[], goneG: number, allowedG: number): boolean {
  return loads.some(({ massG }) => Math.abs(massG - goneG) <= allowedG + sameLoadShare * massG);
}

/** The loads that lie on a bucket after an event; whoever lifts it takes them off. */
export function loadsAfter(loads: readonly Load[], event: FlowEvent): readonly Load[] {
  const { kind, atMs, deltaG } = event;
  if (kind === "emptied" || kind === "load-off") return [];
  const recent = loads.filter((load) => atMs - load.atMs < longestLoadMs);
  return kind === "load-added" ? [...recent, { atMs, massG: deltaG }].slice(-mostLoads) : recent;
}

/** True for a weight that was added with the bucket on its cell: it may be a hand that leans on it. */
export function mayBeLeaning(excursion: Excursion, accepted: Accepted): boolean {
  return !wasLifted(excursion) && accepted.massG - excursion.expectedG > leastLeaningG;
}

function allowedFor(varianceG2: number): number {
  return leastDeviations * (Math.sqrt(varianceG2) + handlingSdG);
}

/** Back at what was expected: a stray weight, a hand on the bucket, or nothing to speak of. */
function eventAtReturn(excursion: Excursion, untilMs: number): FlowEvent | undefined {
  const { before, count, highestG, lowestG, sinceMs } = excursion;
  if (Math.max(highestG - before.massG, before.massG - lowestG) < leastExcursionG) {
    return undefined;
  }
  const kind = count === 1 ? "spike" : "leaned-on";
  return { kind: wasLifted(excursion) ? "lifted" : kind, atMs: sinceMs, untilMs, deltaG: 0 };
}

/** Sap that was carried away, in g; undefined when the event is no gathering. */
export function gatheredG(event: FlowEvent): number | undefined {
  const isGathering = event.kind === "emptied" || event.kind === "poured-off";
  return isGathering && event.deltaG <= -leastGatheredG ? -event.deltaG : undefined;
}
