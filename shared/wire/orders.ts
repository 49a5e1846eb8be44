// HTTP bodies of what a person asks of a board from the page, and what came of it.
import { z } from "zod";
import { lampStateSchema, orderKindSchema, toldCalibrationSchema } from "./topics.ts";

const cellName = z.string().regex(/^[a-z0-9][a-z0-9-]{0,31}$/);

export const orderPostSchema = z
  .strictObject({
    order: orderKindSchema,
    /** The cell, without its board, that `zero` and `calibration` are for. */
    cell: cellName.optional(),
    /** What `lamp` asks for. */
    lamp: lampStateSchema.optional(),
  })
  .refine(({ order, cell }) => cell !== undefined || !/^(zero|calibration)$/.test(order), {
    error: "a cell for zero and calibration",
    path: ["cell"],
  });
export type OrderPost = z.infer<typeof orderPostSchema>;

export const orderAnswerSchema = z.object({
  /** False when the board said nothing in time: whether it is done is not known. */
  answered: z.boolean(),
  done: z.boolean(),
  /** In words for a person. */
  text: z.string(),
  calibration: toldCalibrationSchema.nullable(),
});
export type OrderAnswer = z.infer<typeof orderAnswerSchema>;
