// HTTP bodies of the boil's log and of bottled batches.
// Units on this wire: kg, L, m2, Cel, Pa, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { ms } from "./fields.ts";
import {
  archSchema,
  fuelKindSchema,
  moistureFraction,
  panAreaM2,
  panPressurePa,
  syrupBrix,
} from "./syrup.ts";

const finite = z.number();
const note = z.string().max(400).nullable();

export const entryKindSchema = z.enum(["sap", "pan", "pressure", "fuel", "drawn"]);
export type EntryKind = z.infer<typeof entryKindSchema>;

const entryFields = {
  atMs: ms,
  kind: entryKindSchema,
  /** sap, drawn */
  volumeL: z.number().min(0.01).max(5000).nullable(),
  /** sap, drawn: percent of sugar by mass */
  brix: z.number().min(0).max(75).nullable(),
  /** sap, drawn: of what was measured; pan: as read on the thermometer */
  tempC: z.number().min(-2).max(130).nullable(),
  /** pressure; kept with a pan's reading too */
  pressurePa: panPressurePa.nullable(),
  /** fuel: kg of wood or propane, kWh */
  amount: z.number().min(0.01).max(5000).nullable(),
  /** sap: the vessel it was taken out of */
  vesselId: z.string().max(32).nullable(),
};

export const boilEntrySchema = z.object({
  id: z.number().int(),
  ...entryFields,
  offsetC: finite.nullable(),
  /** The pour that took it out of its vessel. */
  pourId: z.number().int().nullable(),
});
export type BoilEntry = z.infer<typeof boilEntrySchema>;

export const boilEntryPostSchema = z.strictObject({
  atMs: ms.optional(),
  kind: entryKindSchema,
  volumeL: entryFields.volumeL.default(null),
  brix: entryFields.brix.default(null),
  tempC: entryFields.tempC.default(null),
  pressurePa: entryFields.pressurePa.default(null),
  amount: entryFields.amount.default(null),
  vesselId: entryFields.vesselId.default(null),
});
export const boilEntryPatchSchema = z.strictObject({
  atMs: ms.optional(),
  volumeL: entryFields.volumeL.optional(),
  brix: entryFields.brix.optional(),
  tempC: entryFields.tempC.optional(),
  pressurePa: entryFields.pressurePa.optional(),
  amount: entryFields.amount.optional(),
});

/** The field without which an entry of its kind says nothing. */
export const neededByKind = {
  sap: "volumeL",
  pan: "tempC",
  pressure: "pressurePa",
  fuel: "amount",
  drawn: "volumeL",
} as const satisfies Record<EntryKind, string>;

export const boilAccountSchema = z.object({
  sapVolumeL: finite,
  sapKg: finite,
  sugarKg: finite,
  drawnVolumeL: finite,
  drawnKg: finite,
  drawnSugarKg: finite,
  syrupVolumeL: finite,
  leftKg: finite.nullable(),
  waterKg: finite.nullable(),
  hours: finite.nullable(),
  fuelAmount: finite,
  fuelMj: finite,
  energyMj: finite.nullable(),
  evaporationMmPerH: finite.nullable(),
  efficiency: finite.nullable(),
});

export const panWatchSchema = z.object({
  brix: finite,
  tempC: finite,
  atMs: finite,
  state: z.enum(["boiling", "near", "watch", "ready", "over"]),
  minutesLeft: finite.nullable(),
  minutesLow: finite.nullable(),
  minutesHigh: finite.nullable(),
  riseAtFinishCPerMin: finite.nullable(),
});

const boilFields = {
  startedMs: ms,
  endedMs: ms.nullable(),
  aimBrix: syrupBrix,
  panAreaM2: panAreaM2.nullable(),
  fuel: fuelKindSchema,
  arch: archSchema,
  moistureFraction,
  note,
};

export const boilSchema = z.object({
  id: z.number().int(),
  ...boilFields,
  entries: z.array(boilEntrySchema),
  account: boilAccountSchema,
  /** Of a boil that goes on and has a pan temperature. */
  watch: panWatchSchema.nullable(),
});
export type Boil = z.infer<typeof boilSchema>;
const boilPartial = z.object(boilFields).partial();
/** What is left out is taken from the pan's set-up. */
export const boilPostSchema = z.strictObject(boilPartial.omit({ endedMs: true }).shape);
export const boilPatchSchema = z.strictObject(boilPartial.shape);

export const bottleSchema = z.strictObject({
  volumeL: z.number().min(0.01).max(25),
  count: z.number().int().min(0).max(5000),
});
export type Bottle = z.infer<typeof bottleSchema>;

const batchFields = {
  boilId: z.number().int().nullable(),
  bottledMs: ms,
  brix: z.number().min(50).max(75).nullable(),
  transmissionPercent: z.number().min(0).max(100).nullable(),
  fillTempC: z.number().min(0).max(110).nullable(),
  volumeL: z.number().min(0.01).max(2000),
  bottles: z.array(bottleSchema).max(12),
  ingredients: z.string().trim().min(1).max(200),
  /** A person's own words for the label. */
  words: z.string().max(200).nullable(),
  note,
};

export const batchSchema = z.object({
  id: z.number().int(),
  year: z.number().int(),
  number: z.number().int(),
  ...batchFields,
  colour: z.enum(["golden", "amber", "dark", "very dark"]).nullable(),
  filling: z.enum(["too cold", "cooling", "right", "hot"]).nullable(),
});
export type Batch = z.infer<typeof batchSchema>;
export const batchPostSchema = z.strictObject({
  boilId: batchFields.boilId.default(null),
  bottledMs: ms.optional(),
  brix: batchFields.brix.default(null),
  transmissionPercent: batchFields.transmissionPercent.default(null),
  fillTempC: batchFields.fillTempC.default(null),
  volumeL: batchFields.volumeL,
  bottles: batchFields.bottles.default([]),
  ingredients: batchFields.ingredients.default("Maple syrup"),
  words: batchFields.words.default(null),
  note: note.default(null),
});
export const batchPatchSchema = z.strictObject(z.object(batchFields).partial().shape);
