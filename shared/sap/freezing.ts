// The temperature at which sap begins to freeze.

// "Concentrative Properties of Aqueous Solutions: Sucrose", CRC Handbook of Chemistry and Physics, 102nd ed. (2021).
const crcPoints: readonly { brix: number; tempC: number }[] = [
  { brix: 0, tempC: 0 },
  { brix: 0.5, tempC: -0.03 },
  { brix: 1, tempC: -0.06 },
  { brix: 2, tempC: -0.11 },
  { brix: 3, tempC: -0.17 },
  { brix: 4, tempC: -0.23 },
  { brix: 5, tempC: -0.29 },
  { brix: 10, tempC: -0.63 },
];

/** Freezing point in C, straight between the values of the CRC Handbook; brix is cut to its range of 0-10. */
export function sapFreezingPointC(brix: number): number {
  const within = Math.min(10, Math.max(0, brix));
  const above = crcPoints.findIndex((point) => point.brix >= within);
  const high = crcPoints[above];
  const low = crcPoints[above - 1] ?? high;
  if (high === undefined || low === undefined) {
    throw new RangeError(`freezing point requires a number of Brix, got ${brix}`);
  }
  const span = high.brix - low.brix;
  const share = span === 0 ? 0 : (within - low.brix) / span;
  return low.tempC + share * (high.tempC - low.tempC);
}
