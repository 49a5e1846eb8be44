// HTTP bodies of the round and of what is written down on it: sugar of a tree, ice thrown out.
// Units on this wire: kg, L, m, min, Cel, Brix, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { id, ms } from "./fields.ts";

export const treeSugarSchema = z.object({
  id: z.number().int(),
  treeId: id,
  atMs: ms,
  instrument: z.enum(["hydrometer", "refractometer"]),
  /** What it showed. */
  readingBrix: z.number(),
  /** Of the sap; null for a refractometer that makes up for it. */
  tempC: z.number().nullable(),
  /** Temperature at which a hydrometer is marked. */
  markedAtC: z.number().nullable(),
  /** Sugar of the sap, corrected for temperature. */
  brix: z.number(),
});
export type TreeSugar = z.infer<typeof treeSugarSchema>;
export const treeSugarPostSchema = z.strictObject({
  instrument: treeSugarSchema.shape.instrument,
  readingBrix: z.number().min(0).max(30),
  tempC: z.number().min(0).max(40).nullable().default(null),
  markedAtC: z.number().min(0).max(30).nullable().default(null),
  atMs: ms.optional(),
});

export const roundStopSchema = z.object({
  bucketId: id,
  /** What is poured and carried; what the hands can't take stays behind. */
  volumeL: z.number(),
  loadKg: z.number(),
  leavesL: z.number(),
  /** From the place before. */
  distanceM: z.number(),
  isGuess: z.boolean(),
  /** From here on. */
  carriedKg: z.number(),
  eachHandKg: z.number(),
  minutes: z.number(),
  why: z.string(),
});
export type RoundStop = z.infer<typeof roundStopSchema>;

export const roundTripSchema = z.object({
  stops: z.array(roundStopSchema),
  loadKg: z.number(),
  /** From the last bucket back to where the sap is taken. */
  homeM: z.number(),
  minutes: z.number(),
});
export type RoundTrip = z.infer<typeof roundTripSchema>;

export const nextRoundSchema = z.object({
  nowMs: ms,
  carryKg: z.number(),
  trips: z.array(roundTripSchema),
  left: z.array(z.object({ bucketId: id, volumeL: z.number().nullable(), why: z.string() })),
  minutes: z.number(),
  volumeL: z.number(),
  /** Those of the trips that can't wait until the visit after next. */
  dueIds: z.array(id),
  /** Those that are left only because the vessel has no room for them. */
  noRoomIds: z.array(id),
  /** Where it goes; null when no vessel is being filled. */
  vessel: z.object({ vesselId: id, label: z.string(), freeL: z.number() }).nullable(),
  /** Some way was neither paced nor drawn. */
  guessedDistances: z.boolean(),
  /** The best there is; else a good one, for many buckets. */
  exact: z.boolean(),
});
export type NextRound = z.infer<typeof nextRoundSchema>;

/** The round that a person is on: what was planned, and what the cells or a person ticked off. */
export const currentRoundSchema = z.object({
  startedMs: ms,
  plan: nextRoundSchema,
  gathered: z.array(
    z.object({
      bucketId: id,
      atMs: ms,
      volumeL: z.number(),
      by: z.enum(["cell", "hand"]),
    }),
  ),
});
export type CurrentRound = z.infer<typeof currentRoundSchema>;
/** A round that is over: as planned when somebody set out, and what was gathered while it lasted. */
export const walkedRoundSchema = z.object({
  startedMs: ms,
  /** Null where nobody said that they were back. */
  endedMs: ms.nullable(),
  trips: z.number().int(),
  buckets: z.number().int(),
  plannedL: z.number(),
  plannedMinutes: z.number(),
  gatheredL: z.number(),
  gatheredBuckets: z.number().int(),
});
export type WalkedRound = z.infer<typeof walkedRoundSchema>;
export const roundAnswerSchema = z.object({ round: currentRoundSchema.nullable() });
export type RoundAnswer = z.infer<typeof roundAnswerSchema>;

/** "home", where the sap is taken, or "tree/" with the tree's id. */
const place = z.string().regex(/^(home|tree\/[a-z0-9][a-z0-9-]{0,31})$/);
const metres = z.number().min(-5000).max(5000);
const pacedM = z.number().min(0).max(5000);
const carryKg = z.number().min(0.5).max(200);

export const sketchSchema = z.object({
  places: z.array(z.object({ place, xM: metres, yM: metres })),
  paced: z.array(z.object({ fromPlace: place, toPlace: place, distanceM: pacedM })),
  /** Places on it that were only laid out in rows and never moved: good for a guess alone. */
  laidOut: z.array(place),
  /** What a person carries in two hands, at most. */
  carryKg,
});
export type Sketch = z.infer<typeof sketchSchema>;
/** Null takes a place off the sketch, or forgets a paced distance; `scale` draws all larger or smaller. */
export const sketchPatchSchema = z.strictObject({
  places: z
    .array(z.strictObject({ place, xM: metres.nullable(), yM: metres.nullable() }))
    .max(500)
    .optional(),
  /** The places are only laid out in rows, to be moved to where they stand. */
  laidOut: z.boolean().optional(),
  paced: z
    .array(z.strictObject({ fromPlace: place, toPlace: place, distanceM: pacedM.nullable() }))
    .max(500)
    .optional(),
  scale: z.strictObject({ fromPlace: place, toPlace: place, distanceM: pacedM.min(1) }).optional(),
  carryKg: carryKg.optional(),
});

export const iceThrownSchema = z.object({
  id: z.number().int(),
  bucketId: id,
  atMs: ms,
  massKg: z.number(),
  /** Sugar that went with it, and the syrup it would have made. */
  sugarG: z.number(),
  syrupMl: z.number(),
});
export type IceThrown = z.infer<typeof iceThrownSchema>;
export const iceThrownPostSchema = z.strictObject({
  bucketId: id,
  massKg: z.number().min(0.05).max(100),
  atMs: ms.optional(),
});
