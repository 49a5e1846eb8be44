// Names what happened to a bucket once its weight has come to rest, and what of it was gathered.
import type { FlowEvent } from "../bucket.ts";
import { type Accepted, type Excursion, wasLifted } from "./excursion.ts";

const handlingSdG = 12; // hanging a bucket back never gives quite the same weight
const leastDeviations = 2.5;
const almostEmptyG = 400;
const leastGatheredG = 100;
const leastExcursionG = 100;

/** What an excursion was, now that the weight is at rest; undefined when it was nothing to speak of. */
export function eventOf(
  excursion: Excursion,
  settled: { accepted: Accepted; sapSinceMs: number; emptyG: number },
): FlowEvent | undefined {
  return excursion.steppedMs === null
    ? eventAtReturn(excursion, settled.sapSinceMs)
    : eventAtNewLevel(excursion, excursion.steppedMs, settled);
}

/** At rest at a level of its own. */
function eventAtNewLevel(
  excursion: Excursion,
  steppedMs: number,
  { accepted, emptyG }: { accepted: Accepted; emptyG: number },
): FlowEvent | undefined {
  const { before, expectedG, expectedVarianceG2 } = excursion;
  const changeG = accepted.massG - before.massG;
  const deltaG = accepted.massG - expectedG;
  const allowedG = allowedFor(expectedVarianceG2 + accepted.varianceG2);
  const isDrop =
    deltaG < -allowedG || changeG < -allowedFor(before.varianceG2 + accepted.varianceG2);
  const span = { atMs: excursion.sinceMs, untilMs: steppedMs, deltaG };
  if (isDrop) {
    const netAfterG = accepted.massG - emptyG;
    const isEmptied = netAfterG < almostEmptyG && netAfterG < (expectedG - emptyG) / 2;
    return { kind: isEmptied ? "emptied" : "poured-off", ...span };
  }
  if (excursion.longUnheard) return undefined;
  if (deltaG > allowedG) return { kind: "load-added", ...span };
  return { kind: wasLifted(excursion) ? "lifted" : "leaned-on", ...span };
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
