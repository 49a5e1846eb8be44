// HTTP bodies of seasons: what is closed, the closing jobs, and the season's report.
// Units on this wire: kg, L, h, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { boilSchema } from "./boils.ts";
import { label, ms } from "./fields.ts";

const finite = z.number();
const year = z.number().int();

export const seasonSchema = z.object({
  year,
  fromMs: ms,
  untilMs: ms,
  closedMs: ms.nullable(),
  note: z.string().max(2000).nullable(),
  jobs: z.array(z.object({ key: z.string(), doneMs: ms.nullable() })),
});
export type Season = z.infer<typeof seasonSchema>;
export const seasonPatchSchema = z.strictObject({
  closed: z.boolean().optional(),
  note: z.string().max(2000).nullable().optional(),
  /** Closing jobs by key: done or not. */
  jobs: z.record(z.string().max(20), z.boolean()).optional(),
});

const totalsSchema = z.object({
  sapVolumeL: finite,
  gatheredVolumeL: finite,
  taps: z.number().int(),
  perTapL: finite.nullable(),
  daysRun: z.number().int(),
  sugarKg: finite.nullable(),
  boils: z.number().int(),
  boilHours: finite,
  boiledVolumeL: finite,
  drawnVolumeL: finite,
  woodKg: finite,
  propaneKg: finite,
  electricityKwh: finite,
  batches: z.number().int(),
  bottledVolumeL: finite,
  sapPerSyrup: finite.nullable(),
});
export type SeasonTotals = z.infer<typeof totalsSchema>;

export const seasonReportSchema = z.object({
  year,
  totals: totalsSchema,
  /** null when nothing is known of it. */
  lastYear: totalsSchema.nullable(),
  trees: z.array(
    z.object({
      treeId: z.string(),
      label,
      taps: z.number().int(),
      volumeL: finite,
      /** Gathered from its buckets that no cell weighs, beside `volumeL`. */
      byHandL: finite,
      lowerBound: z.boolean(),
      perTapL: finite.nullable(),
      daysRun: z.number().int(),
      bestDay: z.object({ day: z.string(), volumeL: finite }).nullable(),
      sugarBrix: finite.nullable(),
      sugarKg: finite.nullable(),
      syrupVolumeL: finite.nullable(),
      lastYearVolumeL: finite.nullable(),
    }),
  ),
  taps: z.array(
    z.object({
      tapId: z.string(),
      label,
      treeId: z.string(),
      volumeL: finite,
      daysRun: z.number().int(),
      tappedMs: ms.nullable(),
      pulledMs: ms.nullable(),
    }),
  ),
  days: z.array(z.object({ day: z.string(), volumeL: finite, lastYearVolumeL: finite.nullable() })),
  bestDays: z.array(z.object({ day: z.string(), volumeL: finite })),
  colours: z.array(z.object({ colour: z.string(), volumeL: finite })),
  boils: z.array(boilSchema),
  warnings: z.object({
    byKind: z.array(z.object({ kind: z.string(), count: z.number().int() })),
    /** Buckets that stood at the rim, and how many of these had been warned of before. */
    brimful: z.number().int(),
    warned: z.number().int(),
    medianLeadH: finite.nullable(),
  }),
});
export type SeasonReport = z.infer<typeof seasonReportSchema>;
