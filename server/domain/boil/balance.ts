// Whether what was drawn off can have come out of what was poured in: sugar is not made by boiling.
import { sapDensityKgPerL } from "../../../shared/sap/density.ts";
import type { BoilAccount } from "./account.ts";

export type SugarBalance = { drawnKg: number; mostKg: number };

// Sap's Brix may be read off by a third and its litres by a tenth, and what stays in the pan comes out another day
// (own choice, no source).
const readingsFactor = 1.5;
const coldC = 20;

/** What is too much: the sugar drawn off and the most that was in; null when it can be. Sugar in kg, hold-up in L. */
export function tooMuchSugar(
  account: Pick<BoilAccount, "sapKg" | "sugarKg" | "drawnSugarKg">,
  left: { holdUpL: number; aimBrix: number },
): SugarBalance | null {
  const { sapKg, sugarKg, drawnSugarKg: drawnKg } = account;
  // Without sap in the log there is nothing to compare with.
  if (sapKg === 0) return null;
  const syrupKgPerL = sapDensityKgPerL({ brix: left.aimBrix, tempC: coldC });
  const mostKg = readingsFactor * sugarKg + (left.holdUpL * syrupKgPerL * left.aimBrix) / 100;
  return drawnKg > mostKg ? { drawnKg, mostKg } : null;
}
