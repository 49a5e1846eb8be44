// The weather of one simulated season with its forecasts, all of it known beforehand.
import { createRandom, createWander, subSeed } from "../../../device/yard/random.ts";
import { sunlightWM2, type Weather } from "../../../device/yard/weather.ts";

export const knotMs = 300_000;
const knotH = knotMs / 3_600_000;
const dayMs = 86_400_000;
const hourMs = 3_600_000;
const issueEveryMs = 6 * hourMs;
const outlookHours = 60;

export type OutlookPoint = { atMs: number; airC: number };

export type SeasonWeather = {
  fromMs: number;
  knots: readonly Weather[];
  at(atMs: number): Weather;
  /** The newest forecast at that time, wrong as forecasts are. */
  outlookAt(atMs: number): OutlookPoint[];
};

/** From frost that gives way to spring: colder at the start and more restless than the demo's weather [own]. */
export function createSeasonWeather(settings: {
  seed: number;
  fromMs: number;
  days: number;
}): SeasonWeather {
  const { seed, fromMs, days } = settings;
  const count = ((days + 4) * dayMs) / knotMs;
  const next = createKnots(seed);
  const knots = Array.from({ length: count }, (_, index) => next(index));
  const at = (atMs: number) => {
    const knot = knots[Math.min(count - 1, Math.max(0, Math.floor((atMs - fromMs) / knotMs)))];
    if (knot === undefined) throw new RangeError(`weather requires a knot, got none at ${atMs}`);
    return knot;
  };
  let issued: { issueMs: number; points: OutlookPoint[] } | undefined;
  return {
    fromMs,
    knots,
    at,
    outlookAt(atMs) {
      const issueMs = Math.floor(atMs / issueEveryMs) * issueEveryMs;
      if (issued?.issueMs !== issueMs) issued = { issueMs, points: issue(seed, issueMs, at) };
      return issued.points;
    },
  };
}

/** What a forecast gets wrong: wanders with 8 h, its spread grows with the lead, and it tilts. */
function issue(seed: number, issueMs: number, at: (atMs: number) => Weather): OutlookPoint[] {
  const random = createRandom(subSeed(seed, "outlook", issueMs));
  const wander = createWander(random, { tauH: 8, sd: 1 });
  const tilt = 0.03 * random.normal();
  return Array.from({ length: outlookHours }, (_, leadH) => {
    const atMs = issueMs + leadH * hourMs;
    const errorC = wander.step(1) * (0.6 + 0.025 * leadH) + tilt * leadH;
    return { atMs, airC: Math.round(100 * (at(atMs).airC + errorC)) / 100 };
  });
}

function dailyWave(hour: number): number {
  const sinceMinimumH = (hour - 6 + 24) % 24;
  if (sinceMinimumH < 9) return -Math.cos((Math.PI * sinceMinimumH) / 9);
  return Math.cos((Math.PI * (sinceMinimumH - 9)) / 15);
}

function createKnots(seed: number): (index: number) => Weather {
  const random = createRandom(subSeed(seed, "season-weather"));
  const front = createWander(random, { tauH: 50, sd: 4.8 });
  const flutter = createWander(random, { tauH: 1.2, sd: 0.6 });
  const cloudiness = createWander(random, { tauH: 16, sd: 1.7 });
  const wind = createWander(random, { tauH: 9, sd: 1 });
  let rainMmPerH = 0;
  return (index) => {
    const day = index / 288;
    const hour = (day % 1) * 24;
    const frontC = front.step(knotH);
    const cloud = 1 / (1 + Math.exp(-(cloudiness.step(knotH) + 0.12 * frontC)));
    if (rainMmPerH > 0 && random.uniform() < knotH / 4) rainMmPerH = 0;
    const begins = rainMmPerH === 0 && cloud > 0.8 && random.uniform() < knotH / 8;
    if (begins) rainMmPerH = -1.2 * Math.log(1 - random.uniform());
    const swingC = (2.3 + 6.2 * (1 - cloud)) * dailyWave(hour);
    return {
      airC: -5.5 + 0.25 * Math.max(0, day - 2) + frontC + swingC + flutter.step(knotH),
      windMS: 1.6 * Math.exp(0.55 * wind.step(knotH)),
      solarWM2: sunlightWM2(hour, cloud),
      rainMmPerH,
      pressurePa: 98_500,
    };
  };
}
