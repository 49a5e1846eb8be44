// Sugar of a tree's sap from what a hydrometer or refractometer showed in it.
import { AppError } from "../../../shared/errors.ts";
import { brixFromHydrometer, hydrometerMarksC } from "../../../shared/syrup/hydrometer.ts";
import { brixFromRefractometer } from "../../../shared/syrup/refractometer.ts";
import type { TreeSugar } from "../../../shared/wire/rounds.ts";

type Reading = Pick<TreeSugar, "instrument" | "readingBrix" | "tempC" | "markedAtC">;
type Measured = Pick<TreeSugar, "tempC" | "markedAtC" | "brix">;

const refractometerC = { low: 10, high: 30 };

/**
 * Brix of the sap, with what the reading was corrected by. A hydrometer needs the sap's temperature; one marked
 * at nothing said counts as marked at 60 F. A refractometer without a temperature makes up for it itself.
 * Throws AppError "conflict" for a reading that no sap gives.
 */
export function sugarFromReading(reading: Reading): Measured {
  const brix = reading.instrument === "hydrometer" ? floated(reading) : refracted(reading);
  return { ...brix, brix: Math.round(brix.brix * 100) / 100 };
}

function floated({ readingBrix, tempC, markedAtC }: Reading): Measured {
  if (tempC === null) {
    throw new AppError(
      "conflict",
      "tempC requires the sap's temperature for a hydrometer, got null",
    );
  }
  const mark = markedAtC ?? hydrometerMarksC.at60F;
  const brix = brixFromHydrometer({ readingBrix, tempC, markedAtC: mark });
  if (brix === undefined) {
    throw new AppError(
      "conflict",
      `readingBrix requires what some sap shows at ${tempC} C, got ${readingBrix}`,
    );
  }
  return { tempC, markedAtC: mark, brix };
}

function refracted({ readingBrix, tempC }: Reading): Measured {
  if (tempC === null) return { tempC, markedAtC: null, brix: readingBrix };
  const { low, high } = refractometerC;
  if (tempC < low || tempC > high) {
    throw new AppError(
      "conflict",
      `tempC requires ${low} to ${high} C on a refractometer's glass, got ${tempC}`,
    );
  }
  return { tempC, markedAtC: null, brix: brixFromRefractometer({ readingBrix, tempC }) };
}
