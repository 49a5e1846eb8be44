// Names what happened to a bucket once its weight has come to rest, and what of it was gathered.
import type { BucketSetup, FlowEvent } from "../bucket.ts";
import { type Disturbance, wasLifted } from "./disturbance.ts";

/** How things stand after a disturbance; masses are gross and freed from the drift. */
export type Settled = {
  massG: number;
  /** Sap that came in meanwhile, by the flow that was known. */
  inflowG: number;
  /** Variance of before and after together, with and without what the inflow may have been. */
  varianceG2: number;
  varianceAtRestG2: number;
  /** First reading at the new level. */
  sinceMs: number;
};

const handlingSdG = 12; // hanging a bucket back never gives quite the same weight
const leastDeviations = 2.5;
const almostEmptyG = 400;
const leastGatheredG = 100;
const leastExcursionG = 100;

/** A bucket has come to rest at a level of its own: what happened, or nothing when all is as it was. */
export function eventAtNewLevel(
  disturbance: Disturbance,
  settled: Settled,
  setup: BucketSetup,
): FlowEvent | undefined {
  const { before } = disturbance;
  const changeG = settled.massG - before.massG;
  const deltaG = changeG - settled.inflowG;
  const allowedG = leastDeviations * (Math.sqrt(settled.varianceG2) + handlingSdG);
  const allowedDropG = leastDeviations * (Math.sqrt(settled.varianceAtRestG2) + handlingSdG);
  const isDrop = deltaG < -allowedG || changeG < -allowedDropG;
  const spanMs = { atMs: disturbance.sinceMs, untilMs: settled.sinceMs, deltaG };
  if (isDrop) {
    const netBeforeG = before.massG + settled.inflowG - setup.emptyG;
    const netAfterG = settled.massG - setup.emptyG;
    const isEmptied = netAfterG < almostEmptyG && netAfterG < netBeforeG / 2;
    return { kind: isEmptied ? "emptied" : "poured-off", ...spanMs };
  }
  if (disturbance.longUnheard) {
    return undefined;
  }
  if (deltaG > allowedG) {
    return { kind: "load-added", ...spanMs };
  }
  return { kind: wasLifted(disturbance) ? "lifted" : "leaned-on", ...spanMs };
}

/** The weight went back to what was expected: a stray weight, a hand on the bucket, or nothing to speak of. */
export function eventAtReturn(disturbance: Disturbance, untilMs: number): FlowEvent | undefined {
  const { before, count, highestG, lowestG, sinceMs } = disturbance;
  if (Math.max(highestG - before.massG, before.massG - lowestG) < leastExcursionG) {
    return undefined;
  }
  if (wasLifted(disturbance)) {
    return { kind: "lifted", atMs: sinceMs, untilMs, deltaG: 0 };
  }
  return { kind: count === 1 ? "spike" : "leaned-on", atMs: sinceMs, untilMs, deltaG: 0 };
}

/** Sap that was carried away, in g; undefined when the event is no gathering. */
export function gatheredG(event: FlowEvent): number | undefined {
  const isGathering = event.kind === "emptied" || event.kind === "poured-off";
  return isGathering && event.deltaG <= -leastGatheredG ? -event.deltaG : undefined;
}
