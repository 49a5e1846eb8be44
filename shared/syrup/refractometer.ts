// Correcting a refractometer that doesn't make up for temperature itself.

// Corrections in Brix to add, rows by temperature, columns by the Brix read. Below 20 C as printed in table A.1 of a
// Russian state standard (docs.cntd.ru/document/1200157922); the rows at 25 and 30 C from memory of the International
// Temperature Correction Table (1936), with which those rows agree. OIV-MA-AS2-02 lies within 0.04.
const columnsBrix = [0, 5, 10, 20, 30, 50, 70];
const rowsC = [10, 15, 20, 25, 30];
const correctionsBrix = [
  [-0.5, -0.54, -0.58, -0.64, -0.68, -0.74, -0.79],
  [-0.27, -0.29, -0.31, -0.34, -0.35, -0.38, -0.4],
  [0, 0, 0, 0, 0, 0, 0],
  [0.33, 0.35, 0.36, 0.38, 0.39, 0.4, 0.4],
  [0.72, 0.74, 0.77, 0.79, 0.8, 0.81, 0.81],
];

function between(xs: readonly number[], ys: readonly number[], x: number): number {
  const above = Math.max(
    1,
    xs.findIndex((known) => known >= x),
  );
  const [lowX = x, highX = x] = xs.slice(above - 1);
  const [lowY = 0, highY = 0] = ys.slice(above - 1);
  return lowY + ((x - lowX) / (highX - lowX)) * (highY - lowY);
}

/**
 * True Brix from what an uncompensated refractometer shows, 0-70 Brix at 10-30 C; within about 0.05 Brix. Below 0
 * it is cut to 0. One with compensation (ATC) needs none of this. Throws RangeError outside.
 */
export function brixFromRefractometer(reading: { readingBrix: number; tempC: number }): number {
  const { readingBrix, tempC } = reading;
  if (!(readingBrix >= 0 && readingBrix <= 70)) {
    throw new RangeError(`a refractometer requires 0 to 70 Brix, got ${readingBrix}`);
  }
  if (!(tempC >= 10 && tempC <= 30)) {
    throw new RangeError(`a refractometer requires 10 to 30 C, got ${tempC}`);
  }
  const byTemperature = correctionsBrix.map((row) => between(columnsBrix, row, readingBrix));
  return Math.max(0, readingBrix + between(rowsC, byTemperature, tempC));
}
