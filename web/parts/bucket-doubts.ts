// What a change of a bucket says against what was seen of it: asked before it is saved.
import { formatVolume } from "../../shared/people/format.ts";
import type { BucketView, Units } from "../../shared/wire/api.ts";
import type { BucketPatch, Gathering } from "../../shared/wire/records.ts";
import { formatMoment } from "../format.ts";
import { labelOfBucket, type PageFrame } from "../page-frame.ts";
import { tooHeavyWords } from "./new-bucket-form.tsx";

// As the server has it: heaped ice, and what a cell is off by (server/domain/flow/contradiction.ts).
const aboveRimShare = 0.1;
const aboveRimL = 0.3;

/** The questions of a change in one line; undefined when nothing is to be asked. */
export function questionOf(patch: BucketPatch, doubting: Doubting): string | undefined {
  const { bucket, page } = doubting;
  const swap = swapWords(patch, bucket, page);
  const doubts = [
    gatheredMoreWords(patch.capacityL, doubting),
    heavierThanSeenWords(patch, bucket, page.units),
  ].filter((words) => words !== undefined);
  if (doubts.length === 0) return swap && `${swap} Swap the two?`;
  return `${[...doubts, swap ?? []].flat().join(" ")} Save it all the same?`;
}

type Doubting = { bucket: BucketView; page: PageFrame; gatherings: readonly Gathering[] };

/** What was gathered at once is the least that a bucket holds. */
function gatheredMoreWords(
  capacityL: number | undefined,
  { bucket, page, gatherings }: Doubting,
): string | undefined {
  if (capacityL === undefined) return undefined;
  const most = gatherings
    .filter(({ bucketId, struck }) => bucketId === bucket.id && !struck)
    .reduce<Gathering | undefined>(
      (max, one) => (one.volumeL > (max?.volumeL ?? 0) ? one : max),
      undefined,
    );
  if (most === undefined || most.volumeL <= capacityL * (1 + aboveRimShare) + aboveRimL) {
    return undefined;
  }
  const { units } = page;
  return `${formatVolume(most.volumeL, units)} were gathered from it ${formatMoment(most.atMs, page)}, more than the ${formatVolume(capacityL, units)} it is now said to hold.`;
}

/** Of the cell that it stays on: what another one weighs is not its bucket yet. */
function heavierThanSeenWords(
  { emptyKg, cell }: BucketPatch,
  bucket: BucketView,
  units: Units,
): string | undefined {
  if (emptyKg === undefined || cell !== undefined || bucket.cell === null) return undefined;
  const words = tooHeavyWords({ cell: bucket.cell, massKg: bucket.massKg }, emptyKg, units);
  return words && `${words}.`;
}

function swapWords(
  { swapWith, fromMs }: BucketPatch,
  bucket: BucketView,
  page: PageFrame,
): string | undefined {
  if (swapWith === undefined) return undefined;
  const since = fromMs === undefined ? "now" : formatMoment(fromMs, page);
  const label = labelOfBucket(page.yard, swapWith);
  return `${label} hangs on ${bucket.cell ?? "no cell"} from ${since} on.`;
}
