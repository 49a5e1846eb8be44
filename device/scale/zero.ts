// Sets the zero of a calibrated cell anew, unless something evidently hangs on it.
import { type Parsed, parsed, refused } from "../../shared/parsed.ts";
import { massKgFromCounts } from "./calibration.ts";
import type { CalibrationRecord } from "./calibration-file.ts";
import { median } from "./sampler.ts";

/** A hook, a platform and years of drift come to less; a bucket with sap comes to more. */
const mostShiftKg = 2;

export function zeroFrom(
  known: CalibrationRecord,
  counts: readonly number[],
  atMs: number,
): Parsed<CalibrationRecord> {
  const zeroCounts = median(counts);
  const shiftKg = massKgFromCounts(zeroCounts, known);
  if (Math.abs(shiftKg) > mostShiftKg) {
    return refused(
      `requires a bare cell, got ${shiftKg.toFixed(2)} kg on it: take the bucket off first`,
    );
  }
  return parsed({ ...known, zeroCounts, zeroedAtMs: atMs });
}

/** By how much a zero moved, in words. */
export function shiftText(before: CalibrationRecord, after: CalibrationRecord): string {
  const shiftG = 1000 * massKgFromCounts(after.zeroCounts, before);
  return `(it had moved by ${shiftG.toFixed(1)} g)`;
}
