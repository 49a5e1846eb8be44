// What a person typed about a corrected calibration, as the server takes it, or what is wrong with it.
import { type Parsed, parsed, refused } from "../shared/parsed.ts";
import type { CorrectionPost } from "../shared/wire/corrections.ts";
import type { OrderAnswer } from "../shared/wire/orders.ts";

/** As typed. */
export type ScaleFields = { zeroCounts: string; countsPerG: string };

/** Nulls are left empty: from the first reading there is, until now. */
export type CorrectionSpan = { cell: string; fromMs: number | null; untilMs: number | null };

const ranges = {
  // What 24 bits hold, and the cells of 5 to 200 kg with room to spare.
  zeroCounts: { what: "Counts when bare", least: -8_388_608, most: 8_388_607 },
  countsPerG: { what: "Counts a gram", least: 1, most: 5_000 },
};

/** What the board told, put into the fields. */
export function fieldsFromCalibration({
  zeroCounts,
  countsPerG,
}: NonNullable<OrderAnswer["calibration"]>): ScaleFields {
  return {
    zeroCounts: String(Math.round(zeroCounts * 10) / 10),
    countsPerG: String(Number(countsPerG.toFixed(5))),
  };
}

export function parseCorrection(
  fields: ScaleFields,
  { cell, fromMs, untilMs }: CorrectionSpan,
): Parsed<CorrectionPost> {
  const zeroCounts = parseNumber(fields.zeroCounts, ranges.zeroCounts);
  if (!zeroCounts.ok) return zeroCounts;
  const countsPerG = parseNumber(fields.countsPerG, ranges.countsPerG);
  if (!countsPerG.ok) return countsPerG;
  if (fromMs !== null && untilMs !== null && fromMs >= untilMs) {
    return refused("The end comes before the beginning.");
  }
  return parsed({
    cell,
    fromMs: fromMs ?? 0,
    ...(untilMs === null ? {} : { untilMs }),
    zeroCounts: zeroCounts.value,
    countsPerG: countsPerG.value,
  });
}

function parseNumber(
  text: string,
  { what, least, most }: (typeof ranges)[keyof typeof ranges],
): Parsed<number> {
  const value = Number(text.trim().replace(",", "."));
  if (text.trim() !== "" && value >= least && value <= most) return parsed(value);
  const got = text.trim() === "" ? "nothing was typed" : `"${text.trim()}" is not`;
  return refused(`${what} is a number from ${least} to ${most}: ${got}.`);
}
