// HTTP bodies of corrected calibrations applied to what a cell has weighed already.
import { z } from "zod";
import { id, ms } from "./fields.ts";

const leastCountsPerG = 1;
const mostCountsPerG = 5000;
const scale = {
  /** "hill/cell-1" */
  cell: z.string().regex(/^[a-z0-9][a-z0-9-]{0,31}\/[a-z0-9][a-z0-9-]{0,31}$/),
  /** From inclusive, until exclusive. */
  fromMs: ms,
  untilMs: ms,
  /** Raw counts of the bare cell: what 24 bits hold. */
  zeroCounts: z.number().min(-8_388_608).max(8_388_607),
  /** Falls below 0 for a cell that is wired the other way round. */
  countsPerG: z.number().refine((value) => isPlausible(Math.abs(value)), {
    error: `${leastCountsPerG} to ${mostCountsPerG} counts a gram, or the same below 0`,
  }),
};

function isPlausible(countsPerG: number): boolean {
  return countsPerG >= leastCountsPerG && countsPerG <= mostCountsPerG;
}

/** Without `untilMs` until now. */
export const correctionPostSchema = z
  .strictObject({ ...scale, untilMs: ms.optional() })
  .refine(({ fromMs, untilMs }) => untilMs === undefined || fromMs < untilMs, {
    error: "a time after fromMs",
    path: ["untilMs"],
  });
export type CorrectionPost = z.infer<typeof correctionPostSchema>;

export const correctionSchema = z.object({ id: z.number().int(), ...scale, madeMs: ms });

export type CorrectionView = z.infer<typeof correctionSchema>;

export const correctionPreviewSchema = z.object({
  /** Readings in the span, and how many of them came without counts and stay as they are. */
  readings: z.number().int(),
  withoutCounts: z.number().int(),
  /** The newest reading of the span as it is, and as it would be. */
  newest: z.object({ atMs: ms, beforeKg: z.number(), afterKg: z.number() }),
  buckets: z.array(
    z.object({
      bucketId: id,
      beforeL: z.number(),
      afterL: z.number(),
      days: z.array(z.object({ day: z.string(), beforeL: z.number(), afterL: z.number() })),
    }),
  ),
});
export type CorrectionPreview = z.infer<typeof correctionPreviewSchema>;
