// The air's pressure where the pan stands, from the sea-level pressure that weather reports give.

// U.S. Standard Atmosphere 1976, troposphere: 6.5 K/km lapse from 288.15 K.
const lapsePerM = 2.25577e-5;
const exponent = 5.25588;
const lowestM = -500;
const highestM = 11_000;

function thinning(altitudeM: number): number {
  if (!(altitudeM >= lowestM && altitudeM <= highestM)) {
    throw new RangeError(`altitude requires ${lowestM} to ${highestM} m, got ${altitudeM}`);
  }
  return (1 - lapsePerM * altitudeM) ** exponent;
}

function positive(pressurePa: number): number {
  if (!(pressurePa > 0 && Number.isFinite(pressurePa))) {
    throw new RangeError(`pressure requires more than 0 Pa, got ${pressurePa}`);
  }
  return pressurePa;
}

/**
 * Pressure at altitudeM (-500 to 11,000 m) where reports give seaLevelPressurePa. U.S. Standard Atmosphere 1976;
 * air 15 C colder than
 * the standard makes it 0.3 kPa too high at 500 m (0.09 C of boiling point): a barometer at the pan is better. Throws RangeError outside.
 */
export function stationPressurePa(place: {
  seaLevelPressurePa: number;
  altitudeM: number;
}): number {
  return positive(place.seaLevelPressurePa) * thinning(place.altitudeM);
}

/** The way back: sea-level pressure from a barometer's at altitudeM. Throws RangeError outside the same range. */
export function seaLevelPressurePa(place: {
  stationPressurePa: number;
  altitudeM: number;
}): number {
  return positive(place.stationPressurePa) / thinning(place.altitudeM);
}
