// A board's calibrations on disk, beside its outbox: they live with the board that has the cells.
import { mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { replaceFile } from "../durable-file.ts";

const recordSchema = z.strictObject({
  /** Raw counts of the bare cell. */
  zeroCounts: z.number(),
  countsPerG: z.number().refine((value) => value !== 0, "requires a gain other than 0"),
  calibratedAtMs: z.number(),
  /** When the zero was last set by itself. */
  zeroedAtMs: z.number().optional(),
  knownG: z.number(),
  /** What the check weight was off by; undefined when there was none. */
  checkOffG: z.number().optional(),
});
const fileSchema = z.strictObject({
  v: z.literal(1),
  cells: z.record(z.string(), recordSchema),
});

export type CalibrationRecord = z.infer<typeof recordSchema>;

export type CalibrationStore = {
  of(cell: string): CalibrationRecord | undefined;
  /** On disk before it returns. Throws AppError. */
  put(cell: string, record: CalibrationRecord): void;
};

/** Throws AppError when there is a file that can't be read: weights must not go on without it. */
export function openCalibrations(folder: string): CalibrationStore {
  const path = join(folder, "calibration.json");
  let cells = readCells(path);
  return {
    of: (cell) => cells[cell],
    put(cell, record) {
      const changed = { ...cells, [cell]: record };
      try {
        mkdirSync(folder, { recursive: true });
        replaceFile(path, `${JSON.stringify({ v: 1, cells: changed }, undefined, 2)}\n`);
      } catch (error) {
        throw problemOf(path, error);
      }
      cells = changed;
    },
  };
}

function readCells(path: string): Record<string, CalibrationRecord> {
  try {
    return fileSchema.parse(JSON.parse(readFileSync(path, "utf8"))).cells;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return {};
    throw problemOf(path, error);
  }
}

function problemOf(path: string, error: unknown): AppError {
  const got = error instanceof Error ? error.message : String(error);
  return new AppError(
    "storage",
    `the calibration ${path} requires a file of its form, got ${got}`,
    {
      cause: error,
    },
  );
}
