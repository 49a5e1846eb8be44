// HTTP body of how well the warnings did in this yard. Units: kg, epoch milliseconds; shares 0-1.
import { z } from "zod";
import { ms } from "./fields.ts";

const count = z.number().int().nonnegative();
const share = z.number().min(0).max(1);

export const recordSchema = z.object({
  /** Time of the oldest forecast that is kept; null for none. */
  sinceMs: ms.nullable(),
  warnings: z.object({
    useful: count,
    late: count,
    false: count,
    /** By the chances told, how many of these three kinds were to run over within a day. */
    expected: z.number().nonnegative(),
    open: count,
    untold: count,
    /** Of the useful, late and false ones, those found in readings that came long after: nobody was told. */
    afterwards: count,
    overflows: count,
    missed: count,
  }),
  /** Chances told for the next 12 and 24 h against what came, by the chance told. */
  reliability: z.array(
    z.object({
      aheadH: z.number().int().positive(),
      count,
      wentOver: count,
      bins: z.array(
        z.object({
          fromShare: share,
          untilShare: share,
          count,
          toldShare: share,
          cameShare: share,
        }),
      ),
    }),
  ),
  /** Sap told for 12 h ahead: times that what came lay within the 90 % interval. */
  inflow: z.object({ count, within: count, expectedShare: share }),
  /** Gatherings whose mass lay within the flow summed up since the one before. */
  fills: z.object({
    count,
    within: count,
    expectedShare: share,
    medianErrorShare: z.number().nonnegative().nullable(),
  }),
});
export type WarningRecord = z.infer<typeof recordSchema>;
