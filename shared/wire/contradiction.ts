// What a bucket's record and its readings say against each other.
import { z } from "zod";

/** The weight is less than the empty bucket's, more than the bucket can hold, or stops rising below its rim. */
export const contradictionSchema = z.enum([
  "lighter-than-empty",
  "more-than-it-holds",
  "stops-below-its-rim",
]);
export type Contradiction = z.infer<typeof contradictionSchema>;
