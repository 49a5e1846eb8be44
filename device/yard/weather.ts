// What weather means to the simulated yard, whoever makes it, and the sun above it.

export type Weather = {
  airC: number;
  windMS: number;
  solarWM2: number;
  rainMmPerH: number;
  pressurePa: number;
};

/** Weather at a time; times may be asked for in any order within the last day asked for. */
export type WeatherSource = { at(atMs: number): Weather };

const latitudeRad = (44 * Math.PI) / 180;
/** Mid-March whatever the date, so that the yard has sap weather all the year. */
const declinationRad = (-2.5 * Math.PI) / 180;

/**
 * Sunlight on level ground in W/m2 at an hour of the day (0-24, noon is the highest sun).
 * Clear sky: Haurwitz 1945, 1098 sin(h) exp(-0.057 / sin(h)); cloud (0-1): Kasten and Czeplak 1980.
 */
export function sunlightWM2(hourOfDay: number, cloud: number): number {
  const hourAngleRad = ((hourOfDay - 12) / 12) * Math.PI;
  const sinHeight =
    Math.sin(latitudeRad) * Math.sin(declinationRad) +
    Math.cos(latitudeRad) * Math.cos(declinationRad) * Math.cos(hourAngleRad);
  if (sinHeight <= 0) return 0;
  return 1098 * sinHeight * Math.exp(-0.057 / sinHeight) * (1 - 0.75 * cloud ** 3.4);
}

/** The weather a share (0-1) of the way from one moment to the next; rain belongs to the interval. */
export function weatherBetween(from: Weather, to: Weather, share: number): Weather {
  const between = (a: number, b: number) => a + (b - a) * share;
  return {
    airC: between(from.airC, to.airC),
    windMS: between(from.windMS, to.windMS),
    solarWM2: between(from.solarWM2, to.solarWM2),
    rainMmPerH: to.rainMmPerH,
    pressurePa: between(from.pressurePa, to.pressurePa),
  };
}
