// How sap keeps, in a bucket or a vessel, and HTTP bodies about keeping it.
import { z } from "zod";
import { ms } from "./fields.ts";

export const keepingSchema = z.object({
  sapTempC: z.number(),
  iceFraction: z.number().min(0).max(1),
  spentFraction: z.number().min(0).max(1),
  boilByMs: ms.nullable(),
  /** By the careful count: keeps, darkens its syrup, boil at once, smell before use. */
  risk: z.enum(["fresh", "ageing", "late", "doubtful"]),
});

/** A bucket was washed, now or at a time that has passed. */
export const washedPostSchema = z.strictObject({ atMs: ms.optional() });
/** When the washing counts from: the emptying it went with. */
export const washedSchema = z.object({ atMs: ms });
