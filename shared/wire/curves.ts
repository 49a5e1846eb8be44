// HTTP bodies of curves of many trees, of the hours after a thaw, and of what is forecast for one bucket.
// Units on this wire: L, L/h, Cel, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { id, label, ms } from "./fields.ts";

const column = z.array(z.number().nullable());

/** All trees on one time axis; a tree's flow is that of all its buckets, null where one of them isn't known. */
export const treeCurvesSchema = z.object({
  stepMs: z.number().int().positive(),
  atMs: z.array(ms),
  /** Mean of what the buckets' thermometers say. */
  airC: column,
  trees: z.array(z.object({ treeId: id, label, flowLPerH: column })),
});
export type TreeCurves = z.infer<typeof treeCurvesSchema>;

/** How each tree runs from two hours before a thaw on, on the mean of the span's last thaws. */
export const afterThawSchema = z.object({
  /** Hours since the thaw, negative before it. */
  hours: z.array(z.number()),
  trees: z.array(
    z.object({
      treeId: id,
      label,
      /** Thaws that the mean is of. */
      thaws: z.number().int().nonnegative(),
      flowLPerH: column,
    }),
  ),
});
export type AfterThaw = z.infer<typeof afterThawSchema>;

/** What may stand in a bucket, hour by hour from now on, if nobody empties it: 10, 50 and 90 of 100. */
export const aheadSchema = z.object({
  atMs: z.array(ms),
  lowL: z.array(z.number()),
  midL: z.array(z.number()),
  highL: z.array(z.number()),
});
export type Ahead = z.infer<typeof aheadSchema>;
