// Density of sap and syrup by sugar and temperature, and volume of sap from its mass.

// Sucrose solutions: ICUMSA SPS-4 form, Z. Bubnik, P. Kadlec, D. Urban, M. Bruhns, "Sugar Technologists Manual"
// (1995); coefficients as in two public programs. Rows by power of (t - 20 C)/100, columns by power of the mass
// fraction less one. Valid 0-80 C and 0-0.7; to 100 C a mild extrapolation. Within 0.3 kg/m3 of the CRC Handbook.
const excessKgPerM3 = [
  [385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289],
  [-46.272, -7.172, 1.1597, 5.1126, 17.5254],
  [59.7712, 7.2491, 12.363, -35.4791],
  [-47.2207, -21.6977, 27.6301],
  [18.3184, 12.3081],
];

// G. S. Kell, "Density, Thermal Expansivity, and Compressibility of Liquid Water", J. Chem. Eng. Data 20 (1975).
const waterAbove = [
  999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12,
];
const waterBelow = 16.887236e-3;

const bucketBrix = 2;
const bucketTempC = 4;

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);
}

/** Density of liquid water at one atmosphere, 0-100 C (Kell 1975). */
export function waterDensityKgPerM3(tempC: number): number {
  return polynomial(waterAbove, tempC) / (1 + waterBelow * tempC);
}

/** Density of a sucrose solution; sugarFraction is sugar by mass, 0-0.7. */
export function sucroseDensityKgPerM3(solution: { sugarFraction: number; tempC: number }): number {
  const { sugarFraction, tempC } = solution;
  const byTemperature = excessKgPerM3.map(
    (coefficients) => sugarFraction * polynomial(coefficients, sugarFraction),
  );
  return waterDensityKgPerM3(tempC) + polynomial(byTemperature, (tempC - 20) / 100);
}

/** Density of sap or syrup; brix is percent of sugar by mass, 0-70. */
export function sapDensityKgPerL(sap: { brix: number; tempC: number }): number {
  return sucroseDensityKgPerM3({ sugarFraction: sap.brix / 100, tempC: sap.tempC }) / 1000;
}

const bucketGPerL = 1000 * sapDensityKgPerL({ brix: bucketBrix, tempC: bucketTempC });

/** Volume of sap in a bucket, taken as 2 Brix at 4 C: 1007.9 g a litre. */
export function volumeLFromG(massG: number): number {
  return massG / bucketGPerL;
}

/** Mass of sap in a bucket, taken as 2 Brix at 4 C. */
export function gFromVolumeL(volumeL: number): number {
  return volumeL * bucketGPerL;
}
