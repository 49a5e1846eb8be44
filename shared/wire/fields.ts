// Fields that many HTTP bodies share.
import { z } from "zod";

/** Epoch milliseconds, up to the year 9999. */
export const ms = z.number().int().min(0).max(253_402_300_799_999);
/** A slug, as in topics and paths. */
export const id = z.string().regex(/^[a-z0-9][a-z0-9-]{0,31}$/);
export const label = z.string().trim().min(1).max(40);
