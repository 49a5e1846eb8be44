// HTTP bodies of the records people keep: trees, taps, buckets, gatherings.
// Units on this wire: kg, L, cm, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { treeHealths } from "../trees/tap-advice.ts";
import { bucketRoleSchema } from "./api.ts";
import { id, label, ms } from "./fields.ts";

export const treeSchema = z.object({
  id,
  label,
  species: z.string().max(40).nullable(),
  girthCm: z.number().positive().max(1500).nullable(),
  note: z.string().max(400).nullable(),
  health: z.enum(treeHealths),
});
export type Tree = z.infer<typeof treeSchema>;
export const treePostSchema = z.strictObject({
  label,
  species: z.string().max(40).nullable().default(null),
  girthCm: z.number().positive().max(1500).nullable().default(null),
  note: z.string().max(400).nullable().default(null),
  health: z.enum(treeHealths).default("sound"),
});
export const treePatchSchema = z.strictObject(treeSchema.omit({ id: true }).partial().shape);

/** Along the girth from a mark on the bark, to the right as one looks at it; and above the ground. */
const aroundCm = z.number().min(0).max(1500).nullable();
const heightCm = z.number().positive().max(500).nullable();
const bitMm = z.number().min(2).max(30).nullable();
const depthMm = z.number().min(1).max(150).nullable();
/** Upwards into the tree. */
const slopeDegrees = z.number().min(0).max(45).nullable();
/** Of the wood when it was drilled. */
const woodTempC = z.number().min(-50).max(50).nullable();

/** A hole with its spile; one whose spile was pulled stays on record as an old hole. */
export const tapSchema = z.object({
  id,
  treeId: id,
  label,
  tappedMs: ms.nullable(),
  pulledMs: ms.nullable(),
  aroundCm,
  heightCm,
  bitMm,
  depthMm,
  slopeDegrees,
  woodTempC,
});
export type Tap = z.infer<typeof tapSchema>;
export const tapPostSchema = z.strictObject({
  treeId: id,
  label: label.optional(),
  tappedMs: ms.nullable().default(null),
  pulledMs: ms.nullable().default(null),
  aroundCm: aroundCm.default(null),
  heightCm: heightCm.default(null),
  bitMm: bitMm.default(null),
  depthMm: depthMm.default(null),
  slopeDegrees: slopeDegrees.default(null),
  woodTempC: woodTempC.default(null),
});
export const tapPatchSchema = z.strictObject(
  tapSchema.omit({ id: true, treeId: true }).partial().shape,
);

const capacityL = z.number().min(0.5).max(200);
const emptyKg = z.number().min(0).max(30);
/** Share of the sunlight that reaches a bucket: 1 in the open, 0 in shade all day. */
const sunShare = z.number().min(0).max(1);
const cellPath = z
  .string()
  .regex(/^[a-z0-9][a-z0-9-]{0,31}\/[a-z0-9][a-z0-9-]{0,31}$/)
  .nullable();

export const bucketSchema = z.object({
  id,
  label,
  tapIds: z.array(id),
  cell: cellPath,
  capacityL,
  emptyKg,
  sunShare,
  role: bucketRoleSchema,
  parked: z.boolean(),
});
export type Bucket = z.infer<typeof bucketSchema>;
export const bucketPostSchema = z.strictObject({
  label,
  tapIds: z.array(id).max(8).default([]),
  cell: cellPath.default(null),
  capacityL,
  emptyKg,
  sunShare: sunShare.optional(),
  role: bucketRoleSchema.default("sap"),
  fromMs: ms.optional(),
});
/** What hangs where changes from `fromMs` on (default: now); the past stays as it was. */
export const bucketPatchSchema = z.strictObject({
  label: label.optional(),
  tapIds: z.array(id).max(8).optional(),
  cell: cellPath.optional(),
  capacityL: capacityL.optional(),
  emptyKg: emptyKg.optional(),
  sunShare: sunShare.optional(),
  role: bucketRoleSchema.optional(),
  parked: z.boolean().optional(),
  fromMs: ms.optional(),
  /** The bucket that hangs on `cell`: it gets this one's cell instead, from the same instant on. */
  swapWith: id.optional(),
});
export type BucketPatch = z.input<typeof bucketPatchSchema>;

export const gatheringSchema = z.object({
  id: z.number().int(),
  bucketId: id,
  atMs: ms,
  volumeL: z.number().min(0).max(200),
  by: z.enum(["cell", "hand"]),
  struck: z.boolean(),
  note: z.string().nullable(),
});
export type Gathering = z.infer<typeof gatheringSchema>;
export const gatheringPostSchema = z.strictObject({
  bucketId: id,
  atMs: ms.optional(),
  volumeL: z.number().min(0).max(200),
  note: z.string().max(200).nullable().default(null),
});
export const gatheringPatchSchema = z.strictObject({
  volumeL: z.number().min(0).max(200).optional(),
  struck: z.boolean().optional(),
  note: z.string().max(200).nullable().optional(),
});
