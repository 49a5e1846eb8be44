// HTTP bodies about keeping sap.
import { z } from "zod";
import { ms } from "./fields.ts";

/** A bucket was washed, now or at a time that has passed. */
export const washedPostSchema = z.strictObject({ atMs: ms.optional() });
/** When the washing counts from: the emptying it went with. */
export const washedSchema = z.object({ atMs: ms });
