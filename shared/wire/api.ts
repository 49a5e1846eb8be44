// HTTP bodies of /api/v1: the schemas that guard what comes in and describe what goes out.
// Units on this wire: kg, L, L/h, Cel, Pa, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { tapGuidelineKeys } from "../trees/guidelines.ts";
import { holeZoneKeys } from "../trees/hole.ts";
import { contradictionSchema } from "./contradiction.ts";
import { id, label, ms } from "./fields.ts";
import { keepingSchema } from "./keeping.ts";
import { outlookStateSchema } from "./outlook.ts";
import { vesselViewSchema } from "./vessels.ts";
import { wetViewSchema } from "./wet.ts";

const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/);

export const alarmKindSchema = z.enum([
  "brim",
  "brimful",
  "boil",
  "sour",
  "frozen",
  "vessel",
  "silent",
  "doubtful",
  "supply",
  "care",
  "ending",
]);
export type AlarmKind = z.infer<typeof alarmKindSchema>;

export const severitySchema = z.enum(["advice", "soon", "now"]);
export type Severity = z.infer<typeof severitySchema>;

/** Probability that it goes over after the next visit and before the one after, and when. */
export const brimSchema = z.object({
  probability: z.number().min(0).max(1),
  t10Ms: ms.nullable(),
  t50Ms: ms.nullable(),
  t90Ms: ms.nullable(),
});
export type Brim = z.infer<typeof brimSchema>;

export type Keeping = z.infer<typeof keepingSchema>;

/** First that holds, in this order. */
export const bucketStateSchema = z.enum([
  "parked",
  "unheard",
  "silent",
  "doubtful",
  "away",
  "brimful",
  "frozen",
  "running",
  "resting",
]);
export type BucketState = z.infer<typeof bucketStateSchema>;

export const bucketRoleSchema = z.enum(["sap", "control"]);

export const bucketViewSchema = z.object({
  id,
  label,
  role: bucketRoleSchema,
  tree: z.object({ id, label }).nullable(),
  tapIds: z.array(id),
  cell: z.string().nullable(),
  capacityL: z.number(),
  emptyKg: z.number(),
  sunShare: z.number().min(0).max(1),
  massKg: z.number().nullable(),
  volumeL: z.number().nullable(),
  fullFraction: z.number().nullable(),
  flowLPerH: z.number().nullable(),
  flowLowLPerH: z.number().nullable(),
  flowHighLPerH: z.number().nullable(),
  /** Sap alone. */
  todayL: z.number().nullable(),
  wet: wetViewSchema,
  state: bucketStateSchema,
  lastReadingMs: ms.nullable(),
  /** Some of its readings are dated more than a minute ahead of now, and wait until then. */
  isDatedAhead: z.boolean(),
  washedMs: ms.nullable(),
  brim: brimSchema.nullable(),
  /** What became of the outlook on its air; null before it was judged. */
  outlook: outlookStateSchema.nullable(),
  keeping: keepingSchema.nullable(),
  keepingMissing: z.string().nullable(),
  /** What came onto it at once: laid on or poured in, not run in; null for nothing to speak of. */
  laidOn: z
    .object({
      sinceMs: ms,
      massKg: z.number(),
      /** It stayed, and counts among what the bucket holds. */
      isCounted: z.boolean(),
    })
    .nullable(),
  /** Null while the readings fit what the record says. */
  contradiction: contradictionSchema.nullable(),
  alarms: z.array(alarmKindSchema),
});
export type BucketView = z.infer<typeof bucketViewSchema>;

export const cellViewSchema = z.object({
  cell: z.string(),
  massKg: z.number().nullable(),
  lastReadingMs: ms.nullable(),
  fault: z.string().nullable(),
  bucketId: id.nullable(),
});

export const boardViewSchema = z.object({
  name: id,
  online: z.boolean(),
  program: z.string().nullable(),
  lastHeardMs: ms.nullable(),
  airC: z.number().nullable(),
  pressurePa: z.number().nullable(),
  supplyV: z.number().nullable(),
  cells: z.array(cellViewSchema),
  /** Its thermometers, as board/probe. */
  probes: z.array(z.string()),
});
export type BoardView = z.infer<typeof boardViewSchema>;

export const alarmViewSchema = z.object({
  id: z.number().int(),
  kind: alarmKindSchema,
  subject: z.string(),
  severity: severitySchema,
  raisedAtMs: ms,
  clearedAtMs: ms.nullable(),
  seenAtMs: ms.nullable(),
  text: z.string(),
  brim: brimSchema.optional(),
});
export type AlarmView = z.infer<typeof alarmViewSchema>;

export const doNowPartSchema = z.object({
  verb: z.enum(["set-up", "look", "gather", "boil", "wait"]),
  bucketIds: z.array(id),
  /** Vessels whose sap is to be boiled; left out when it speaks of buckets alone. */
  vesselIds: z.array(id).optional(),
  byMs: ms.nullable(),
  volumeL: z.number().nullable(),
  reason: z.string(),
});
export type DoNowPart = z.infer<typeof doNowPartSchema>;

export const doNowSchema = z.object({ sentence: z.string(), parts: z.array(doNowPartSchema) });
export type DoNow = z.infer<typeof doNowSchema>;

export const unitsSchema = z.enum(["metric", "us"]);
export type Units = z.infer<typeof unitsSchema>;

/** What people set about the yard; visitTimes null means any hour from 7 to 21. */
export const yardSettingsSchema = z.object({
  name: label,
  latitude: z.number().min(-90).max(90).nullable(),
  longitude: z.number().min(-180).max(180).nullable(),
  altitudeM: z.number().min(-450).max(6000).nullable(),
  timeZone: z.string().min(1).max(64).nullable(),
  units: unitsSchema,
  visitTimes: z.array(clockTime).min(1).max(24).nullable(),
  tripLeadMin: z.number().min(0).max(720),
  warnProbability: z.number().min(0.05).max(0.5),
  quietFrom: clockTime,
  quietUntil: clockTime,
  wakeMe: z.boolean(),
  /** Which published guideline says how many taps a tree carries, and how far from old holes. */
  tapGuideline: z.enum(tapGuidelineKeys),
  holeZone: z.enum(holeZoneKeys),
});
export type YardSettings = z.infer<typeof yardSettingsSchema>;
export const yardPatchSchema = z.strictObject(yardSettingsSchema.partial().shape);

export const yardViewSchema = z.object({
  nowMs: ms,
  season: z.object({ year: z.number().int(), firstReadingMs: ms.nullable() }),
  yard: yardSettingsSchema.extend({
    simulated: z.boolean(),
    clockSpeed: z.number(),
    pausedUntilMs: ms.nullable(),
  }),
  boards: z.array(boardViewSchema),
  buckets: z.array(bucketViewSchema),
  vessels: z.array(vesselViewSchema),
  alarms: z.array(alarmViewSchema),
  doNow: doNowSchema,
});
export type YardView = z.infer<typeof yardViewSchema>;

export const curveEventSchema = z.object({
  atMs: ms,
  untilMs: ms,
  kind: z.string(),
  massKg: z.number(),
});
export type CurveEvent = z.infer<typeof curveEventSchema>;

const column = z.array(z.number().nullable());
export const curveSchema = z.object({
  stepMs: z.number().int().positive(),
  atMs: z.array(ms),
  massKg: column,
  volumeL: column,
  flowLPerH: column,
  lowLPerH: column,
  highLPerH: column,
  airC: column,
  events: z.array(curveEventSchema),
});
export type Curve = z.infer<typeof curveSchema>;
export const curveQuerySchema = z.strictObject({
  fromMs: z.coerce.number().pipe(ms),
  toMs: z.coerce.number().pipe(ms),
  stepMs: z.coerce.number().int().min(1000).max(86_400_000).optional(),
});
export const spanQuerySchema = z.strictObject({
  fromMs: z.coerce.number().pipe(ms).optional(),
  toMs: z.coerce.number().pipe(ms).optional(),
});

export const compareSchema = z.object({
  fromMs: ms,
  toMs: ms,
  trees: z.array(
    z.object({
      treeId: id,
      label,
      bucketIds: z.array(id),
      taps: z.number().int(),
      volumeL: z.number(),
      lowerBound: z.boolean(),
      perTapL: z.number().nullable(),
      share: z.number().min(0).max(1).nullable(),
      onsetMs: ms.nullable(),
      strength: z.number().nullable(),
      strengthLow: z.number().nullable(),
      strengthHigh: z.number().nullable(),
      /** That it is the strongest of the yard. */
      bestProbability: z.number().min(0).max(1).nullable(),
      /** Why its tap deserves a look; null when nothing speaks for it. */
      weakReason: z.string().nullable(),
      sugarBrix: z.number().nullable(),
      days: z.array(z.object({ day: z.string(), volumeL: z.number().nullable() })),
    }),
  ),
});
export type Compare = z.infer<typeof compareSchema>;

export const pausePostSchema = z.strictObject({
  minutes: z
    .number()
    .min(0)
    .max(24 * 60),
});

/** Where notices go; secrets come back as the word "set". */
export const noticesSchema = z.object({
  email: z
    .strictObject({
      smtpUrl: z.string().max(400),
      from: z.string().max(200),
      to: z.string().max(400),
    })
    .nullable(),
  webhook: z.strictObject({ url: z.string().max(1000) }).nullable(),
});
export type Notices = z.infer<typeof noticesSchema>;
export const noticesPatchSchema = z.strictObject(noticesSchema.partial().shape);

/** RFC 9457 problem details. */
export const problemSchema = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string().optional(),
});
export type Problem = z.infer<typeof problemSchema>;
