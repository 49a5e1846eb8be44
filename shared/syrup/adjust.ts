// Bringing a batch that came out too thin or too thick to its density.

export type Adjustment = {
  /** Water still to boil off, or thinner (water or sap) to stir in; the other is 0. */
  boilOffKg: number;
  addKg: number;
  resultKg: number;
};

/**
 * What a batch of batchKg at batchBrix needs to reach aimBrix (all Brix 0-92, aim above 0). A batch too thick is
 * thinned with thinnerBrix: 0 for water (the default), 2 for sap. By mass of sugar. Throws RangeError for a mass
 * below 0, a Brix outside, or a thinner not below the aim.
 */
export function adjustmentOfBatch(batch: {
  batchKg: number;
  batchBrix: number;
  aimBrix: number;
  thinnerBrix?: number;
}): Adjustment {
  const { batchKg, batchBrix, aimBrix, thinnerBrix = 0 } = batch;
  if (!(batchKg >= 0 && Number.isFinite(batchKg))) {
    throw new RangeError(`a batch requires 0 kg or more, got ${batchKg}`);
  }
  if (!(batchBrix >= 0 && batchBrix <= 92 && aimBrix > 0 && aimBrix <= 92)) {
    throw new RangeError(`a batch requires 0 to 92 Brix, got ${batchBrix} to ${aimBrix}`);
  }
  if (!(thinnerBrix >= 0 && thinnerBrix < aimBrix)) {
    throw new RangeError(`a thinner requires less than ${aimBrix} Brix, got ${thinnerBrix}`);
  }
  if (batchBrix <= aimBrix) {
    const resultKg = (batchKg * batchBrix) / aimBrix;
    return { boilOffKg: batchKg - resultKg, addKg: 0, resultKg };
  }
  const addKg = (batchKg * (batchBrix - aimBrix)) / (aimBrix - thinnerBrix);
  return { boilOffKg: 0, addKg, resultKg: batchKg + addKg };
}
