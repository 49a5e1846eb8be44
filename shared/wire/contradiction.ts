// What a bucket's record and its readings say against each other.
import { z } from "zod";

/** The weight is less than the empty bucket's, or more than the bucket can hold. */
export const contradictionSchema = z.enum(["lighter-than-empty", "more-than-it-holds"]);
export type Contradiction = z.infer<typeof contradictionSchema>;
