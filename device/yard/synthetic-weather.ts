// Made-up late-winter weather: frosty nights, thawing days, fronts, cloud, rain and wind.
import { msPerDay, msPerHour } from "../../shared/units.ts";
import { createRandom, createWander, subSeed } from "./random.ts";
import { sunlightWM2, type Weather, type WeatherSource, weatherBetween } from "./weather.ts";

const knotMs = 5 * 60_000;
const knotH = knotMs / msPerHour;
const knotsKept = (2 * msPerDay) / knotMs;
/** From this day on the season stands still, so that a yard left running keeps having sap weather. */
const lastSeasonDay = 20;

export type SyntheticWeatherSettings = {
  seed: number;
  startMs: number;
  /** What to add to UTC for the wall clock of the yard. */
  wallOffsetMs: number;
};

export function createSyntheticWeather(settings: SyntheticWeatherSettings): WeatherSource {
  const nextKnot = createKnots(settings);
  const knots: Weather[] = [];
  let firstKnot = 0;
  const knotAt = (index: number): Weather => {
    while (firstKnot + knots.length <= index) knots.push(nextKnot());
    if (knots.length > 2 * knotsKept) {
      knots.splice(0, knots.length - knotsKept);
      firstKnot = index - knots.length + 1;
    }
    const knot = knots[index - firstKnot];
    if (knot === undefined)
      throw new RangeError(`weather requires a recent time, got knot ${index}`);
    return knot;
  };
  return {
    at(atMs) {
      const position = (atMs - settings.startMs) / knotMs;
      const index = Math.max(0, Math.floor(position));
      const to = knotAt(index + 1);
      return weatherBetween(knotAt(index), to, Math.max(0, position - index));
    },
  };
}

/** Warmest at 15 h, coldest at 6 h: two half waves between -1 and 1. */
function dailyWave(hourOfDay: number): number {
  const sinceMinimumH = (hourOfDay - 6 + 24) % 24;
  if (sinceMinimumH < 9) return -Math.cos((Math.PI * sinceMinimumH) / 9);
  return Math.cos((Math.PI * (sinceMinimumH - 9)) / 15);
}

function createKnots(settings: SyntheticWeatherSettings): () => Weather {
  const random = createRandom(subSeed(settings.seed, "weather"));
  const front = createWander(random, { tauH: 50, sd: 3 });
  const flutter = createWander(random, { tauH: 1.2, sd: 0.6 });
  const cloudiness = createWander(random, { tauH: 16, sd: 1.7 });
  const wind = createWander(random, { tauH: 9, sd: 1 });
  const pressure = createWander(random, { tauH: 60, sd: 900 });
  const rain = createRain(settings.seed);
  let index = 0;
  return () => {
    const elapsedMs = index * knotMs;
    index += 1;
    const hourOfDay =
      ((settings.startMs + elapsedMs + settings.wallOffsetMs) % msPerDay) / msPerHour;
    const seasonDay = Math.min(elapsedMs / msPerDay, lastSeasonDay);
    const frontC = front.step(knotH);
    const cloud = 1 / (1 + Math.exp(-(cloudiness.step(knotH) + 0.12 * frontC)));
    const swingC = (2.3 + 6.2 * (1 - cloud)) * dailyWave(hourOfDay);
    return {
      airC: -0.6 + 0.09 * seasonDay + frontC + swingC + flutter.step(knotH),
      windMS: 1.6 * Math.exp(0.55 * wind.step(knotH)),
      solarWM2: sunlightWM2(hourOfDay, cloud),
      rainMmPerH: rain(cloud),
      pressurePa: 98_500 + pressure.step(knotH),
    };
  };
}

/** Showers under a closed sky: four hours long and 1.2 mm/h strong on average. */
function createRain(seed: number): (cloud: number) => number {
  const random = createRandom(subSeed(seed, "rain"));
  let rateMmPerH = 0;
  return (cloud) => {
    if (rateMmPerH > 0 && random.uniform() < knotH / 4) rateMmPerH = 0;
    const begins = rateMmPerH === 0 && cloud > 0.8 && random.uniform() < knotH / 8;
    if (begins) rateMmPerH = -1.2 * Math.log(1 - random.uniform());
    return rateMmPerH;
  };
}
