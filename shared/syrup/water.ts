// The temperature at which water boils under the air's pressure, and that pressure at a height.

// IAPWS R7-97(2012), "Industrial Formulation 1997 for Water and Steam", region 4 (saturation line), table 34.
const n1 = 0.11670521452767e4;
const n2 = -0.72421316703206e6;
const n3 = -0.17073846940092e2;
const n4 = 0.1202082470247e5;
const n5 = -0.32325550322333e7;
const n6 = 0.1491510861353e2;
const n7 = -0.48232657361591e4;
const n8 = 0.40511340542057e6;
const n9 = -0.23855557567849;
const n10 = 0.65017534844798e3;

const lowestPa = 611;
const highestPa = 22.064e6;
const lowestK = 273.15;
const highestK = 647.096;
const paPerMpa = 1e6;
const zeroCAsK = 273.15;

/**
 * Temperature at which water boils; pressurePa is that of the air where the pan stands, 611 Pa to 22.064 MPa.
 * IAPWS-IF97, equation 31. Throws RangeError outside. Near one atmosphere 100 Pa change it by 0.028 C.
 */
export function waterBoilingTempC(pressurePa: number): number {
  if (!(pressurePa >= lowestPa && pressurePa <= highestPa)) {
    throw new RangeError(`pressure requires ${lowestPa} to ${highestPa} Pa, got ${pressurePa}`);
  }
  const beta = (pressurePa / paPerMpa) ** 0.25;
  const e = beta ** 2 + n3 * beta + n6;
  const f = n1 * beta ** 2 + n4 * beta + n7;
  const g = n2 * beta ** 2 + n5 * beta + n8;
  const d = (2 * g) / (-f - Math.sqrt(f ** 2 - 4 * e * g));
  return (n10 + d - Math.sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2 - zeroCAsK;
}

/**
 * Pressure under which water boils at tempC, 0 to 373.946 C. IAPWS-IF97, equation 30. Throws RangeError outside.
 */
export function waterBoilingPressurePa(tempC: number): number {
  const tempK = tempC + zeroCAsK;
  if (!(tempK >= lowestK && tempK <= highestK)) {
    throw new RangeError(
      `boiling water requires ${lowestK - zeroCAsK} to ${(highestK - zeroCAsK).toFixed(3)} C, got ${tempC}`,
    );
  }
  const theta = tempK + n9 / (tempK - n10);
  const a = theta ** 2 + n1 * theta + n2;
  const b = n3 * theta ** 2 + n4 * theta + n5;
  const c = n6 * theta ** 2 + n7 * theta + n8;
  return ((2 * c) / (-b + Math.sqrt(b ** 2 - 4 * a * c))) ** 4 * paPerMpa;
}
