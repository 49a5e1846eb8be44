// What became of the outlook on the air that a forecaster sent.
import { z } from "zod";

/**
 * used; none was sent; it ended or ends within a day; has holes; names air that can't be; says the
 * same for a whole day; or is far from what the thermometer says now.
 */
export const outlookStateSchema = z.enum([
  "used",
  "none",
  "ended",
  "gaps",
  "impossible",
  "one-value",
  "elsewhere",
]);
export type OutlookState = z.infer<typeof outlookStateSchema>;
