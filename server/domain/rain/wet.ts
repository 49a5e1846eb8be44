// Whether it rained or snowed into a yard's buckets in a half hour, and how much of what came into each is no sap.
import { msPerHour } from "../../../shared/units.ts";
import type { FlowEstimate } from "../bucket.ts";
import { median } from "../middle.ts";
import { type Catcher, commonInflowOf } from "./common-inflow.ts";

export type WetKind = "rain" | "snow";

/** What came into every bucket alike, in g/h. */
export type Wet = { kind: WetKind; gPerH: number };

/** A bucket without a tap, with what it holds: what comes into it is no sap. */
export type Control = { inflowGPerH: number; capacityG: number };

export type HalfHour = {
  catchers: readonly Catcher[];
  controls: readonly Control[];
  /** Mean over the yard; undefined without a thermometer. */
  airC: number | undefined;
  /** As forecast for then, 0-100; undefined without a forecast. */
  cloudPercent: number | undefined;
};

export const halfHourMs = msPerHour / 2;

const leastGPerH = 15;
/** Of rain that no forecast speaks of: trees in mild air may begin to run all at once. */
const unforetold = { leastGPerH: 40, deviations: 6 };
const leastOfControlGPerH = 8;
const deviations = 3;
const snowBelowC = -0.5;
const rainAboveC = 0.5;
/** Beside the sap of a mean tree: trees that begin to run all at once look like rain. */
const besideSap = { snow: 1, rainForecast: 0.3, rain: 2 };
const leastCloudPercent = 60;
const meltingH = 2;

/** Undefined while it is dry, or nothing can be told. */
export function wetOf(halfHour: HalfHour): Wet | undefined {
  const { airC, cloudPercent, controls } = halfHour;
  if (airC === undefined) return undefined;
  if (cloudPercent !== undefined && cloudPercent < leastCloudPercent) return undefined;
  const kind = airC < (snowBelowC + rainAboveC) / 2 ? "snow" : "rain";
  if (controls.length > 0) {
    const gPerH = median(controls.map(({ inflowGPerH }) => inflowGPerH));
    return gPerH > leastOfControlGPerH ? { kind, gPerH } : undefined;
  }
  // Near freezing it is neither sure to be snow nor that no sap runs.
  if (airC > snowBelowC && airC < rainAboveC) return undefined;
  return acrossBuckets(halfHour, kind);
}

function acrossBuckets({ catchers, cloudPercent }: HalfHour, kind: WetKind): Wet | undefined {
  // The common part is never more than the middle bucket's: most half hours are dry at a glance.
  if (!(median(catchers.map(({ inflowGPerH }) => inflowGPerH)) > leastGPerH)) return undefined;
  const common = commonInflowOf(catchers);
  if (common === undefined) return undefined;
  const { commonGPerH, sapGPerH, sdGPerH } = common;
  const isForetold = kind === "snow" || cloudPercent !== undefined;
  const least = isForetold ? { leastGPerH, deviations } : unforetold;
  const rainBesideSap = isForetold ? besideSap.rainForecast : besideSap.rain;
  const leastBesideSap = kind === "snow" ? besideSap.snow : rainBesideSap;
  const isSure =
    commonGPerH > least.leastGPerH &&
    commonGPerH > least.deviations * sdGPerH &&
    commonGPerH > leastBesideSap * sapGPerH;
  return isSure ? { kind, gPerH: commonGPerH } : undefined;
}

/**
 * Of what came into a bucket in half an hour, the part that is no sap, in g: never more than came. The mouth of a
 * bucket is taken to grow with its volume as that of a like body does.
 */
export function wetMassG(
  wet: Wet,
  bucket: { inflowG: number; capacityG: number; controlCapacityG: number | undefined },
): number {
  const { capacityG, controlCapacityG } = bucket;
  const likeness = controlCapacityG === undefined ? 1 : (capacityG / controlCapacityG) ** (2 / 3);
  return Math.min(Math.max(0, bucket.inflowG), (wet.gPerH * likeness * halfHourMs) / msPerHour);
}

/** What fell into a bucket at last sight, and until when that is taken to go on. */
export type WetNow = Wet & { untilMs: number };

/** The flow of the tree alone: less what falls into the bucket or onto its lid. */
export function withoutWet(estimate: FlowEstimate, wet: WetNow | undefined): FlowEstimate {
  if (wet === undefined || estimate.atMs > wet.untilMs) return estimate;
  const less = (flowGPerH: number) => Math.max(0, flowGPerH - wet.gPerH);
  const { flowGPerH, lowGPerH, highGPerH } = estimate;
  return {
    ...estimate,
    flowGPerH: less(flowGPerH),
    lowGPerH: less(lowGPerH),
    // How much of it was rain is itself only known by half.
    highGPerH: Math.max(less(flowGPerH), highGPerH - wet.gPerH / 2),
  };
}

/** A lid that sheds its snow within two hours or so hides as much flow: wider by that, in warm air. */
export function withMelting(
  estimate: FlowEstimate,
  { snowG, airC }: { snowG: number; airC: number | null },
): FlowEstimate {
  if (snowG === 0 || airC === null || airC <= 0) return estimate;
  const byGPerH = snowG / meltingH;
  return {
    ...estimate,
    lowGPerH: Math.max(0, estimate.lowGPerH - byGPerH),
    highGPerH: estimate.highGPerH + byGPerH,
  };
}
