// HTTP bodies about the days ahead: freeze, thaw, the sap that may come, and when to tap.
// Units on this wire: L, Cel, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { ms } from "./fields.ts";
import { outlookStateSchema } from "./outlook.ts";

const dayKey = z.string().regex(/^\d{4}-\d\d-\d\d$/);
const runs = { byDayKey: dayKey, runDays: z.number().int(), ofDays: z.number().int() };

/** Advice, never a verdict. */
const tapAdviceSchema = z.discriminatedUnion("word", [
  z.object({ word: z.literal("tap"), ...runs }),
  z.object({ word: z.literal("may-wait"), ...runs }),
  z.object({
    word: z.literal("wait"),
    why: z.enum(["stays frozen", "stays warm", "no thaw after frost"]),
    ofDays: z.number().int(),
  }),
  z.object({ word: z.literal("unknown") }),
]);
export type TapWord = z.infer<typeof tapAdviceSchema>;

const comingDaySchema = z.object({
  dayKey,
  fromMs: ms,
  lowC: z.number().nullable(),
  highC: z.number().nullable(),
  /** Freezes at night and thaws by day; null when one of them isn't known. */
  runs: z.boolean().nullable(),
  /** Of one tap: the middle, and the ends of the middle four fifths of what may be. */
  perTapL: z.object({ lowL: z.number(), middleL: z.number(), highL: z.number() }).nullable(),
});

export const comingRunsSchema = z.object({
  /** What became of the forecast: one that can't be right tells no days. */
  outlook: outlookStateSchema,
  /** Up to when the forecast reaches; null without one that tells. */
  untilMs: ms.nullable(),
  days: z.array(comingDaySchema),
  advice: tapAdviceSchema,
  /** How many trees of the yard the litres are told by; 0: by trees as they may be. */
  taughtTrees: z.number().int(),
});
export type ComingRuns = z.infer<typeof comingRunsSchema>;
