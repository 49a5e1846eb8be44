// Where the readings of a bucket can't fit what its record says: empty weight or capacity entered wrong, cells swapped.
import type { Contradiction } from "../../../shared/wire/contradiction.ts";
import type { BucketSetup, FlowEstimate } from "../bucket.ts";
import { hasLowerRim, type RimWatch } from "./lower-rim.ts";

const belowEmptyG = 150;
const aboveRimShare = 0.1;
const aboveRimG = 300; // snow on a lid, ice that stands above the rim

/** A cell without a bucket weighs less, however its zero has drifted; the lightest pail weighs more. */
const hangsFromG = 300;

/** Only of a bucket whose weight is believed; undefined where all fits. */
export function contradictionOf(
  estimate: FlowEstimate,
  setup: BucketSetup,
  { rim, massG }: { rim: RimWatch; massG: number | null },
): Contradiction | undefined {
  // Taken for lifted off, while something hangs there.
  if (estimate.away) return (massG ?? 0) > hangsFromG ? "lighter-than-empty" : undefined;
  if (estimate.starting) return undefined;
  const sureG = 2 * estimate.netSdG;
  if (estimate.netG + sureG < -belowEmptyG) return "lighter-than-empty";
  const mostG = setup.capacityG * (1 + aboveRimShare) + aboveRimG;
  if (estimate.netG - sureG > mostG) return "more-than-it-holds";
  return hasLowerRim(rim, setup) ? "stops-below-its-rim" : undefined;
}
