// Fields that many HTTP bodies share.
import { z } from "zod";

/** Epoch milliseconds. */
export const ms = z.number().int().min(0).max(8.64e15);
/** A slug, as in topics and paths. */
export const id = z.string().regex(/^[a-z0-9][a-z0-9-]{0,31}$/);
export const label = z.string().trim().min(1).max(40);
