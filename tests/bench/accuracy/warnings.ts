// Lets the product warn, hour by hour, beside plain rules, and compares with what really brimmed over.

import { uncalibrated } from "../../../server/domain/brim/calibration.ts";
import { daysAhead } from "../../../server/domain/brim/days-ahead.ts";
import { decideBrim } from "../../../server/domain/brim/decide.ts";
import { forecastFrom, inflowAhead } from "../../../server/domain/brim/forecast.ts";
import { nextVisits } from "../../../server/domain/brim/visits.ts";
import type { FlowEstimate } from "../../../server/domain/bucket.ts";
import { brimPastOf, startTrack, type Track, trackWithSlot } from "../../../server/domain/track.ts";
import { forecastInput } from "../../../server/watch/assess.ts";
import type { DayScores } from "./day-score.ts";
import { createForecastLedger, type ForecastLedger } from "./forecast-ledger.ts";
import type { ForecastScores, ScoredForecast } from "./forecast-score.ts";
import { createOutcomes, type Outcome } from "./outcomes.ts";
import type { SeasonWeather } from "./season-weather.ts";
import type { Followed } from "./yard.ts";

export type Season = {
  weather: SeasonWeather;
  startMs: number;
  days: number;
  trees: readonly Followed[];
};

export type SeasonOutcomes = Map<string, Outcome[]>;

const hourMs = 3_600_000;
const stepMs = 900_000;
const firstWarnedDay = 1;
const firstScoredDay = 4;
const firstHour = 6;
const lastHour = 21;
const scoredEveryH = 3;
const thresholds = [0.1, 0.15, 0.2, 0.3];

export type WarnSettings = {
  scores: ForecastScores;
  dayScores: DayScores;
  onHour?: () => void;
};

type Lane = { tree: Followed; name: string; track: Track; nextSlot: number };

/** The outcome of each rule on each tree-day of a season. */
export function warnThrough(season: Season, settings: WarnSettings): SeasonOutcomes {
  const lanes = season.trees.map(startLane);
  const outcomes = createOutcomes(season);
  const ledger = createForecastLedger(season.weather);
  for (let hour = 1; hour < (season.days - 2) * 24; hour += 1) {
    const nowMs = season.startMs + hour * hourMs;
    for (const lane of lanes) learnUntil(lane, nowMs);
    ledger.keepAir(nowMs);
    const hourOfDay = hour % 24;
    if (hourOfDay < firstHour || hourOfDay > lastHour) continue;
    const isEarly = hour < firstWarnedDay * 24;
    if (isEarly && hourOfDay % scoredEveryH !== 0) continue;
    lanes.forEach((lane, place) => {
      const estimate = lane.tree.hours[hour - 1];
      if (estimate === undefined) return;
      for (const [rule, warns] of verdicts(
        { season, lane, lanes, estimate, nowMs, ledger },
        settings,
      )) {
        if (!isEarly) outcomes.said(rule, { tree: place, atMs: nowMs, warns });
      }
    });
    settings.onHour?.();
  }
  return outcomes.all();
}

function startLane(tree: Followed, place: number): Lane {
  const track = { ...startTrack(), hangingId: place };
  return { tree, name: `tree-${place}`, track, nextSlot: 0 };
}

/** As the product's track does with every slot. */
function learnUntil(lane: Lane, nowMs: number): void {
  const { slots } = lane.tree;
  for (let slot = slots[lane.nextSlot]; slot !== undefined && slot.atMs <= nowMs; ) {
    lane.track = trackWithSlot(lane.track, slot, lane.tree.setup);
    lane.nextSlot += 1;
    slot = slots[lane.nextSlot];
  }
}

type Look = {
  season: Season;
  lane: Lane;
  lanes: readonly Lane[];
  estimate: FlowEstimate;
  nowMs: number;
  ledger: ForecastLedger;
};

function verdicts(look: Look, settings: WarnSettings): [string, boolean][] {
  return [
    ...forecastVerdicts(look, settings, true),
    ...forecastVerdicts(look, settings, false),
    ...plainVerdicts(look),
  ];
}

function forecastVerdicts(look: Look, settings: WarnSettings, hasOutlook: boolean) {
  const { lane, estimate, nowMs, season } = look;
  const { setup } = lane.tree;
  const calibration = look.ledger.calibration(nowMs, hasOutlook);
  const looked = {
    nowMs,
    bucketId: lane.name,
    track: lane.track,
    setup,
    yard: others(look).map(brimPastOf),
    outlook: hasOutlook ? season.weather.outlookAt(nowMs) : [],
  };
  const input = { ...forecastInput(looked, estimate), calibration };
  const members = inflowAhead(input);
  const forecast = forecastFrom(members, input);
  const suffix = hasOutlook ? "" : ", no forecast";
  if (((nowMs / hourMs) % 24) % scoredEveryH === 0) {
    const scored = { ...look, tree: lane.tree, members, calibration, forecast };
    look.ledger.keep({ tree: lane.tree, nowMs, hasOutlook, members });
    score(`Brimful${suffix}`, scored, settings);
    if (!hasOutlook) scoreDays(look, settings);
  }
  const visits = nextVisits({ nowMs, timeZone: "UTC", visitTimes: null, tripLeadMin: 60 });
  return thresholds.map((warnProbability): [string, boolean] => {
    const decision = decideBrim({ forecast, visits, warnProbability, estimate, setup });
    return [`Brimful ${warnProbability}${suffix}`, decision.warn];
  });
}

function score(name: string, scored: ScoredForecast, { scores, dayScores }: WarnSettings): void {
  dayScores.take(name, scored);
  if (isLate(scored)) scores.take(name, scored);
}

function isLate({ nowMs, season }: { nowMs: number; season: Season }): boolean {
  return nowMs - season.startMs >= firstScoredDay * 24 * hourMs;
}

function others({ lane, lanes }: Look): Track[] {
  return lanes.filter((other) => other !== lane).map(({ track }) => track);
}

/** Past days begun anew stand for what needs no thermometer. */
function scoreDays(look: Look, { scores }: WarnSettings): void {
  if (!isLate(look)) return;
  const { lane, estimate, nowMs, season } = look;
  const members = daysAhead({
    fromMs: nowMs,
    stepMs,
    steps: 144,
    flowNow: { meanGPerH: estimate.flowGPerH, sdGPerH: 0 },
    history: lane.track.history,
    yardHistory: others(look).map(({ history }) => history),
  });
  scores.take("past days", { season, tree: lane.tree, nowMs, members, calibration: uncalibrated });
}

function plainVerdicts({ lane, estimate }: Look): [string, boolean][] {
  const { capacityG } = lane.tree.setup;
  const fill = estimate.netG / capacityG;
  const hoursLeft = (capacityG - estimate.netG) / Math.max(1, estimate.flowGPerH);
  return [
    ["fill 70 %", fill > 0.7],
    ["fill 80 %", fill > 0.8],
    ["fill 90 %", fill > 0.9],
    ["linear 6 h", hoursLeft < 6],
    ["linear 3 h", hoursLeft < 3],
  ];
}
