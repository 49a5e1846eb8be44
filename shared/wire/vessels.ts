// HTTP bodies of vessels, where gathered sap waits, and of what is poured in and out of them.
// Units on this wire: L, Cel, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { id, label, ms } from "./fields.ts";
import { keepingSchema } from "./keeping.ts";

const capacityL = z.number().min(1).max(20_000);
/** Where it stands, which says how warm its sap gets when no thermometer does. */
export const vesselPlaceSchema = z.enum(["shade", "sun", "cooler"]);
export type VesselPlace = z.infer<typeof vesselPlaceSchema>;
/** A probe in its sap: board/probe. */
const probe = z
  .string()
  .regex(/^[a-z0-9][a-z0-9-]{0,31}\/[a-z0-9][a-z0-9-]{0,31}$/)
  .nullable();
const note = z.string().max(200).nullable();

export const vesselSchema = z.object({
  id,
  label,
  capacityL,
  place: vesselPlaceSchema,
  probe,
  parked: z.boolean(),
  /** Gatherings go into this one now. */
  filling: z.boolean(),
});
export type Vessel = z.infer<typeof vesselSchema>;
export const vesselPostSchema = z.strictObject({
  label,
  capacityL,
  place: vesselPlaceSchema.default("shade"),
  probe: probe.default(null),
  /** Without a word the first vessel is the one being filled. */
  filling: z.boolean().optional(),
  fromMs: ms.optional(),
});
/** How it stands, and whether it is the one being filled, changes from `fromMs` on (default: now). */
export const vesselPatchSchema = z.strictObject({
  label: label.optional(),
  capacityL: capacityL.optional(),
  place: vesselPlaceSchema.optional(),
  probe: probe.optional(),
  parked: z.boolean().optional(),
  filling: z.boolean().optional(),
  fromMs: ms.optional(),
});

/** in: from elsewhere; over: into another vessel; boil: taken to the boil; away: thrown away. */
export const pourKindSchema = z.enum(["in", "over", "boil", "away"]);
const pourVolumeL = z.number().min(0.01).max(50_000);

export const pourSchema = z.object({
  id: z.number().int(),
  vesselId: id,
  kind: pourKindSchema,
  intoVesselId: id.nullable(),
  atMs: ms,
  /** Null: all there was. */
  volumeL: pourVolumeL.nullable(),
  struck: z.boolean(),
  note,
});
export type Pour = z.infer<typeof pourSchema>;
export const pourPostSchema = z.strictObject({
  kind: pourKindSchema,
  intoVesselId: id.nullable().default(null),
  volumeL: pourVolumeL.nullable().default(null),
  atMs: ms.optional(),
  note: note.default(null),
});
export const pourPatchSchema = z.strictObject({
  volumeL: pourVolumeL.nullable().optional(),
  atMs: ms.optional(),
  struck: z.boolean().optional(),
  note: note.optional(),
});

/** One line of a vessel's history: a gathering or a pour, as it changed what is in. */
export const vesselLineSchema = z.object({
  atMs: ms,
  kind: z.enum(["gathering", "in", "over-in", "over-out", "boil", "away"]),
  gatheringId: z.number().int().nullable(),
  pourId: z.number().int().nullable(),
  bucketId: id.nullable(),
  otherVesselId: id.nullable(),
  /** What was really moved, and what was in afterwards. */
  volumeL: z.number().min(0),
  afterL: z.number().min(0),
  /** More was taken out than was known to be in. */
  shortL: z.number().min(0),
  note,
});
export type VesselLine = z.infer<typeof vesselLineSchema>;

export const vesselNotePostSchema = z.strictObject({
  kind: z.enum(["washed", "temperature"]),
  tempC: z.number().min(-25).max(60).nullable().default(null),
  atMs: ms.optional(),
});
export const gatheringVesselSchema = z.strictObject({ vesselId: id.nullable() });

/** A vessel as the first screen shows it, derived from gatherings and pours. */
export const vesselViewSchema = vesselSchema.extend({
  volumeL: z.number().min(0),
  fullFraction: z.number().min(0),
  /** Gathering time of the oldest and the newest sap in it. */
  sinceMs: ms.nullable(),
  newestMs: ms.nullable(),
  /** It held sap since it was last washed. */
  dirty: z.boolean(),
  washedMs: ms.nullable(),
  tempC: z.number().nullable(),
  tempFrom: z.enum(["probe", "typed", "place"]).nullable(),
  keeping: keepingSchema.nullable(),
  keepingMissing: z.string().nullable(),
  /** Of which trees, most first; null stands for sap from elsewhere. */
  shares: z.array(z.object({ treeId: id.nullable(), label: z.string(), volumeL: z.number() })),
  /** By the trees' own sugar; null when that of no tree in it is known. */
  sugarBrix: z.number().nullable(),
  /** Litres in it that `sugarBrix` speaks of. */
  sugarKnownL: z.number(),
  /** First in, first out: this one is to be boiled before the others. */
  useFirst: z.boolean(),
  alarms: z.array(z.literal("vessel")),
});
export type VesselView = z.infer<typeof vesselViewSchema>;
