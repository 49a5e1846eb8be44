// How the server itself fares: HTTP bodies of /api/v1/care.
import { z } from "zod";
import { id, ms } from "./fields.ts";

export const careSchema = z.object({
  version: z.string(),
  /** Of the Node that runs it. */
  node: z.string(),
  nowMs: ms,
  startedAtMs: ms,
  /** When the certificate of page and broker ends; null without one. */
  certificateUntilMs: ms.nullable(),
  disk: z.object({
    /** Null when it can't be told. */
    freeBytes: z.number().int().min(0).nullable(),
    storeBytes: z.number().int().min(0).nullable(),
  }),
  backups: z.object({
    folder: z.string(),
    count: z.number().int().min(0),
    lastAtMs: ms.nullable(),
    lastBytes: z.number().int().min(0).nullable(),
    /** Why the last try failed. */
    problem: z.string().nullable(),
    /** False where none are made by themselves. */
    daily: z.boolean(),
  }),
  boards: z.array(
    z.object({
      name: id,
      online: z.boolean(),
      lastHeardMs: ms,
      /** How far its clock is ahead of the server's; negative: behind; null: not to be told. */
      clockAheadMs: z.number().nullable(),
    }),
  ),
  /** Packs that wait to be written. */
  waitingPacks: z.number().int().min(0),
});
export type Care = z.infer<typeof careSchema>;
