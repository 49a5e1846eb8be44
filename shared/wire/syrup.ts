// HTTP bodies of the boil's plan, the pan, the thermometer and the small sums beside the stove.
// Units on this wire: kg, L, m2, Cel, Pa, MJ, epoch milliseconds. Missing is null, never 0.
import { z } from "zod";
import { id, label, ms } from "./fields.ts";

const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/);
const finite = z.number();

export const fuelKindSchema = z.enum(["wood", "propane", "electricity"]);
export const archSchema = z.enum(["openFire", "goodArch", "gasifyingArch"]);
export const woodSchema = z.enum([
  "sugarMaple",
  "redMaple",
  "redOak",
  "whiteOak",
  "beech",
  "yellowBirch",
  "whiteAsh",
  "aspen",
  "whitePine",
  "hemlock",
]);
export const lawSchema = z.enum(["usda", "canada", "new-york", "vermont", "maine"]);

export const sapBrix = z.number().min(0.3).max(40);
export const syrupBrix = z.number().min(50).max(70);
export const sapTempC = z.number().min(-2).max(99);
export const panTempC = z.number().min(50).max(130);
export const panPressurePa = z.number().min(50_000).max(110_000);
export const moistureFraction = z.number().min(0).max(0.6);
export const panAreaM2 = z.number().min(0.01).max(30);
export const sapVolumeL = z.number().min(0).max(20_000);

/** What people set once about their pan, fire and rules. */
export const boilSetupSchema = z.object({
  panAreaM2: panAreaM2.nullable(),
  fuel: fuelKindSchema,
  arch: archSchema,
  wood: woodSchema,
  moistureFraction,
  law: lawSchema,
  /** A person's own aim; null aims at the law's lowest. */
  aimBrix: syrupBrix.nullable(),
  /** Syrup that stays in pan and filter at each boil, L. */
  holdUpL: z.number().min(0).max(20),
  /** When the boil should be over. */
  doneBy: clockTime,
  /** Sea-level pressure from a report, for when no board has a barometer. */
  seaLevelPa: z.number().min(90_000).max(108_500).nullable(),
  seaLevelAtMs: ms.nullable(),
});
export type BoilSetup = z.infer<typeof boilSetupSchema>;
export const boilSetupPatchSchema = z.strictObject(
  boilSetupSchema.omit({ seaLevelAtMs: true }).partial().shape,
);

export const thermometerCheckSchema = z.object({
  atMs: ms,
  readingC: finite,
  pressurePa: finite,
  waterBoilingTempC: finite,
  /** What it reads too high, C. */
  offsetC: finite,
  /** Taken on another day than today. */
  old: z.boolean(),
});
export type ThermometerCheck = z.infer<typeof thermometerCheckSchema>;
export const thermometerPostSchema = z.strictObject({ readingC: z.number().min(75).max(110) });
export const thermometerSchema = z.object({ latest: thermometerCheckSchema.nullable() });

export const planPostSchema = z.strictObject({
  sap: z
    .strictObject({
      volumeL: sapVolumeL.optional(),
      brix: sapBrix.optional(),
      tempC: sapTempC.optional(),
    })
    .default({}),
  law: lawSchema.optional(),
  aimBrix: syrupBrix.optional(),
  pressurePa: panPressurePa.optional(),
  seaLevelPa: z.number().min(90_000).max(108_500).optional(),
  altitudeM: z.number().min(-450).max(6000).optional(),
  /** null: it may take as long as it takes. */
  doneByMs: ms.nullable().optional(),
  panAreaM2: panAreaM2.optional(),
});

const learnedSchema = z.object({
  middle: finite,
  low: finite,
  high: finite,
  boils: z.number().int(),
  usual: finite,
});

export const planSchema = z.object({
  nowMs: ms,
  sap: z.object({
    volumeL: finite,
    volumeFrom: z.enum(["typed", "yard"]),
    brix: finite,
    brixFrom: z.enum(["typed", "trees", "usual"]),
    tempC: finite,
    massKg: finite,
    places: z.array(
      z.object({
        kind: z.enum(["bucket", "vessel"]),
        id: z.string(),
        label,
        volumeL: finite,
        boilByMs: ms.nullable(),
      }),
    ),
  }),
  pressure: z.object({
    pressurePa: finite,
    from: z.enum(["typed", "board", "report", "altitude", "standard"]),
    board: id.nullable(),
    heardMs: ms.nullable(),
    /** How far off it may well be. */
    spreadPa: finite,
  }),
  finishing: z.object({
    law: lawSchema,
    lawName: z.string(),
    lawSource: z.string(),
    aimBrix: finite,
    lowestBrix: finite,
    highestBrix: finite,
    waterBoilingTempC: finite,
    riseC: finite,
    finishingTempC: finite,
    highestTempC: finite,
    brixPerC: finite,
    cPerHpa: finite,
    /** What this thermometer shows when the pan is ready; null when it was never zeroed. */
    onThermometerC: finite.nullable(),
    thermometer: thermometerCheckSchema.nullable(),
    /** How far off the syrup may be for thermometer and pressure together. */
    spreadBrix: finite,
    spreadC: finite,
  }),
  syrup: z.object({
    syrupKg: finite,
    syrupVolumeL: finite,
    bottledVolumeL: finite,
    waterKg: finite,
    sapPerSyrup: finite,
    rules: z.array(
      z.object({
        factor: finite,
        syrupBrix: finite,
        sapPerSyrup: finite,
        syrupVolumeL: finite,
        source: z.string(),
      }),
    ),
  }),
  heat: z.object({ heatingMj: finite, steamMj: finite, energyMj: finite }),
  hours: z
    .object({
      middle: finite,
      low: finite,
      high: finite,
      panAreaM2: finite,
      evaporationMmPerH: learnedSchema,
    })
    .nullable(),
  fuel: z.object({
    chosen: fuelKindSchema,
    efficiency: learnedSchema,
    wood: z.object({
      woodKg: finite,
      stackedM3: finite,
      cords: finite,
      wood: woodSchema,
      moistureFraction: finite,
      efficiency: finite,
    }),
    propane: z.object({ propaneKg: finite, propaneVolumeL: finite, efficiency: finite }),
    electricity: z.object({ energyKwh: finite, efficiency: finite }),
    /** Of the chosen fuel, kg or kWh. */
    low: finite,
    high: finite,
  }),
  start: z
    .object({
      startByMs: ms,
      because: z.enum(["sap", "person"]),
      lateMs: z.number().int(),
      boilByMs: ms.nullable(),
      doneByMs: ms.nullable(),
    })
    .nullable(),
});
export type BoilPlan = z.infer<typeof planSchema>;

export const adjustPostSchema = z.strictObject({
  volumeL: z.number().min(0.05).max(2000),
  brix: z.number().min(20).max(75),
  tempC: z.number().min(0).max(105).default(20),
  aimBrix: syrupBrix,
  thinnerBrix: z.number().min(0).max(20).default(0),
});
export const adjustSchema = z.object({
  batchKg: finite,
  boilOffKg: finite,
  addKg: finite,
  resultKg: finite,
  resultVolumeL: finite,
});

export const hydrometerPostSchema = z.strictObject({
  readingBrix: z.number().min(0).max(75),
  tempC: z.number().min(0).max(105),
  markedAtC: z.number().min(0).max(30).default(15.56),
});
export const hydrometerSchema = z.object({ brix: finite.nullable() });

export const panBrixPostSchema = z.strictObject({ readingC: panTempC });
export const panBrixSchema = z.object({
  brix: finite.nullable(),
  tempC: finite,
  pressurePa: finite,
  spreadBrix: finite.nullable(),
});
