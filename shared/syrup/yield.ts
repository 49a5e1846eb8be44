// How much sap becomes how much syrup, by mass of sugar and by the trade's rules of thumb.
import { gFromVolumeL, sapDensityKgPerL } from "../sap/density.ts";
import { kgFromG } from "../units.ts";

const highestBrix = 70;
const referenceTempC = 20;

/** Volumes of sap to one of syrup are about factor / Brix of the sap. Rounded; the exact way is beside it. */
export const sapRules = [
  {
    factor: 86,
    syrupBrix: 65.5,
    source: "Jones 1946; North American Maple Syrup Producers Manual",
  },
  { factor: 87.1, syrupBrix: 66, source: "Perkins & Isselhardt 2013, University of Vermont" },
  { factor: 88.2, syrupBrix: 66.9, source: "Perkins & Isselhardt 2013, University of Vermont" },
] as const;

type Concentration = { sapBrix: number; syrupBrix: number };

/** Throws RangeError unless 0 < sapBrix <= syrupBrix <= 70, percent of sugar by mass. */
function requireConcentration({ sapBrix, syrupBrix }: Concentration): void {
  if (!(sapBrix > 0 && sapBrix <= syrupBrix && syrupBrix <= highestBrix)) {
    throw new RangeError(
      `boiling down requires 0 < sap <= syrup <= ${highestBrix} Brix, got ${sapBrix} to ${syrupBrix}`,
    );
  }
}

function requireAmount(amount: number, unit: string): void {
  if (!(amount >= 0 && Number.isFinite(amount))) {
    throw new RangeError(`an amount requires 0 ${unit} or more, got ${amount}`);
  }
}

/** Kilograms of sap to one of syrup: no sugar is lost, only water leaves. RangeError as requireConcentration. */
export function sapMassPerSyrupMass(boil: Concentration): number {
  requireConcentration(boil);
  return boil.syrupBrix / boil.sapBrix;
}

/** Volumes of sap to one of syrup, both at 20 C: masses over ICUMSA densities. RangeError as above. */
export function sapVolumePerSyrupVolume(boil: Concentration): number {
  const byMass = sapMassPerSyrupMass(boil);
  const syrupKgPerL = sapDensityKgPerL({ brix: boil.syrupBrix, tempC: referenceTempC });
  return (byMass * syrupKgPerL) / sapDensityKgPerL({ brix: boil.sapBrix, tempC: referenceTempC });
}

/** Volumes of sap to one of syrup by a rule of thumb, factor / Brix. RangeError for sap of 0 Brix or less. */
export function sapVolumeByRule(factor: number, sapBrix: number): number {
  if (!(sapBrix > 0 && sapBrix <= highestBrix)) {
    throw new RangeError(`a rule requires sap above 0 Brix, got ${sapBrix}`);
  }
  return factor / sapBrix;
}

export type SyrupYield = { syrupKg: number; syrupVolumeL: number; waterKg: number };

/**
 * Syrup (kg, and L at 20 C) and water to drive off from sapKg of sap. Nothing is taken off for what stays in pan
 * and filter. RangeError for a negative mass or as requireConcentration.
 */
export function syrupFromSap(boil: Concentration & { sapKg: number }): SyrupYield {
  requireAmount(boil.sapKg, "kg");
  const syrupKg = boil.sapKg / sapMassPerSyrupMass(boil);
  const syrupKgPerL = sapDensityKgPerL({ brix: boil.syrupBrix, tempC: referenceTempC });
  return { syrupKg, syrupVolumeL: syrupKg / syrupKgPerL, waterKg: boil.sapKg - syrupKg };
}

/** Sap in kg for a wanted volume of syrup at 20 C. RangeError as syrupFromSap. */
export function sapKgForSyrup(boil: Concentration & { syrupVolumeL: number }): number {
  requireAmount(boil.syrupVolumeL, "L");
  const syrupKgPerL = sapDensityKgPerL({ brix: boil.syrupBrix, tempC: referenceTempC });
  return boil.syrupVolumeL * syrupKgPerL * sapMassPerSyrupMass(boil);
}

/** As a tree's sap is reckoned in syrup: the least that may be called so in the United States. */
const countedBrix = 66;

/** Sugar and syrup in some sap of a bucket; undefined for sap without sugar. RangeError as syrupFromSap. */
export function worthOfSap({
  volumeL,
  brix,
}: {
  volumeL: number;
  brix: number;
}): { sugarKg: number; syrupVolumeL: number } | undefined {
  if (brix <= 0) return undefined;
  const sapKg = kgFromG(gFromVolumeL(volumeL));
  const { syrupVolumeL } = syrupFromSap({ sapKg, sapBrix: brix, syrupBrix: countedBrix });
  return { sugarKg: (sapKg * brix) / 100, syrupVolumeL };
}
