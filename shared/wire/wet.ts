// Rain and snow at a bucket: what falls now, what of it is in the sap, what lies on the lid.
import { z } from "zod";

export const wetViewSchema = z.object({
  /** Null while it is dry, or nothing can be told. */
  falling: z.enum(["rain", "snow"]).nullable(),
  fallingLPerH: z.number().nullable(),
  /** Rain in the bucket since it was emptied. */
  rainL: z.number().min(0),
  lidSnowKg: z.number().min(0),
});
export type WetView = z.infer<typeof wetViewSchema>;
