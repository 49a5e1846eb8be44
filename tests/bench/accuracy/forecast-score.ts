// How good forecasts are as forecasts: skill, error of the spread, calibration and coverage by lead.
import { type Calibration, calibrated } from "../../../server/domain/brim/calibration.ts";
import type { BrimForecast } from "../../../server/domain/brim/forecast.ts";
import { knotMs } from "./season-weather.ts";
import type { Season } from "./warnings.ts";
import type { Followed } from "./yard.ts";

export type ScoredForecast = {
  season: Season;
  tree: Followed;
  nowMs: number;
  members: readonly Float64Array[];
  calibration: Calibration;
  forecast: BrimForecast;
};

export type LeadFigures = {
  leadH: number;
  count: number;
  base: number;
  brierSkill: number;
  crpsL: number;
  zeroMaeL: number;
  /** Murphy's parts of the Brier score, as shares of its uncertainty: less of the first, more of the second. */
  reliability: number;
  resolution: number;
  calibrationError: number;
  coverage90: number;
};

export type ForecastScores = {
  take(name: string, scored: Omit<ScoredForecast, "forecast">): void;
  figures(): Map<string, LeadFigures[]>;
};

type Sums = {
  pairs: { said: number; came: number }[];
  crpsL: number;
  zeroL: number;
  active: number;
  held: number;
  count: number;
};

const leadsH = [6, 12, 24, 36];
const gPerL = 1007.9;
const hourMs = 3_600_000;
const stepsPerH = 4;
/** Headrooms drawn evenly over a bucket for each forecast, besides the one that was. */
const virtualRooms = 5;
const activeL = 0.1;

export function createForecastScores(): ForecastScores {
  const names = new Map<string, Map<number, Sums>>();
  return {
    take(name, scored) {
      const leads = names.get(name) ?? new Map(leadsH.map((leadH) => [leadH, startSums()]));
      names.set(name, leads);
      for (const [leadH, sums] of leads) takeLead(sums, leadH, scored);
    },
    figures: () =>
      new Map(
        [...names].map(([name, leads]) => [
          name,
          [...leads].map(([leadH, sums]) => figuresOf(leadH, sums)),
        ]),
      ),
  };
}

function startSums(): Sums {
  return { pairs: [], crpsL: 0, zeroL: 0, active: 0, held: 0, count: 0 };
}

function takeLead(
  sums: Sums,
  leadH: number,
  { members, nowMs, season, tree, calibration }: Omit<ScoredForecast, "forecast">,
) {
  const { inflowG } = tree.truth;
  const knot = (nowMs - season.startMs) / knotMs;
  const later = inflowG[knot + (leadH * hourMs) / knotMs];
  if (later === undefined) return;
  const cameG = later - (inflowG[knot] ?? 0);
  const told = members.map((member) => member[leadH * stepsPerH] ?? 0).sort((a, b) => a - b);
  sums.count += 1;
  sums.crpsL += crpsOf(told, cameG) / gPerL;
  sums.zeroL += cameG / gPerL;
  const low = (told[Math.floor(0.05 * told.length)] ?? 0) - 0.02 * gPerL;
  const high = (told[Math.floor(0.95 * told.length)] ?? 0) + 0.02 * gPerL;
  const isActive =
    cameG > activeL * gPerL || (told[Math.floor(told.length / 2)] ?? 0) > activeL * gPerL;
  sums.active += Number(isActive);
  sums.held += Number(isActive && cameG >= low && cameG <= high);
  sums.pairs.push(...virtualPairs({ members, nowMs, season, tree, calibration }, leadH));
}

/** Chances of rooms drawn evenly over the bucket, each against what came; none past the season's end. */
export function virtualPairs(
  { members, nowMs, season, tree, calibration }: Omit<ScoredForecast, "forecast">,
  leadH: number,
): { said: number; came: number }[] {
  const { inflowG } = tree.truth;
  const knot = (nowMs - season.startMs) / knotMs;
  const later = inflowG[knot + (leadH * hourMs) / knotMs];
  if (later === undefined) return [];
  const cameG = later - (inflowG[knot] ?? 0);
  const told = members.map((member) => member[leadH * stepsPerH] ?? 0);
  return Array.from({ length: virtualRooms }, (_, room) => {
    // Golden-section steps: rooms spread evenly and share no rhythm with the day.
    const part = (0.618034 * (knot * virtualRooms + room)) % 1;
    const roomG = part * tree.setup.capacityG;
    const share = told.filter((toldG) => toldG > roomG).length / told.length;
    return { said: calibrated(share, leadH, calibration), came: Number(cameG > roomG) };
  });
}

/** Continuous ranked probability score of an ensemble in order (T. Gneiting, A. Raftery 2007). */
export function crpsOf(sorted: readonly number[], came: number): number {
  const n = sorted.length;
  let error = 0;
  let spread = 0;
  sorted.forEach((value, index) => {
    error += Math.abs(value - came);
    spread += (2 * (index + 1) - n - 1) * value;
  });
  return error / n - spread / (n * n);
}

function figuresOf(leadH: number, { pairs, ...sums }: Sums): LeadFigures {
  const base = meanOf(pairs.map(({ came }) => came));
  const brier = meanOf(pairs.map(({ said, came }) => (said - came) ** 2));
  const { reliability, resolution, uncertainty } = brierParts(pairs);
  return {
    leadH,
    count: sums.count,
    base,
    reliability: reliability / uncertainty,
    resolution: resolution / uncertainty,
    brierSkill: 1 - brier / (base * (1 - base)),
    crpsL: sums.crpsL / sums.count,
    zeroMaeL: sums.zeroL / sums.count,
    calibrationError: calibrationErrorOf(pairs),
    coverage90: sums.held / sums.active,
  };
}

export type BrierParts = { reliability: number; resolution: number; uncertainty: number };

/**
 * The Brier score's parts (A. Murphy 1973), over the distinct chances said rounded to hundredths:
 * reliability - resolution + uncertainty is the score of the chances so rounded.
 */
export function brierParts(pairs: readonly { said: number; came: number }[]): BrierParts {
  const base = meanOf(pairs.map(({ came }) => came));
  const bySaid = new Map<number, number[]>();
  for (const { said, came } of pairs) {
    const rounded = Math.round(said * 100) / 100;
    const cames = bySaid.get(rounded) ?? [];
    cames.push(came);
    bySaid.set(rounded, cames);
  }
  let reliability = 0;
  let resolution = 0;
  for (const [said, cames] of bySaid) {
    const share = cames.length / pairs.length;
    const came = meanOf(cames);
    reliability += share * (said - came) ** 2;
    resolution += share * (came - base) ** 2;
  }
  return { reliability, resolution, uncertainty: base * (1 - base) };
}

/** Mean distance of what was said from what came true, in ten bins. */
export function calibrationErrorOf(pairs: readonly { said: number; came: number }[]): number {
  let error = 0;
  for (let tenth = 0; tenth < 10; tenth += 1) {
    const bin = pairs.filter(({ said }) => Math.min(9, Math.floor(said * 10)) === tenth);
    if (bin.length === 0) continue;
    const said = meanOf(bin.map((pair) => pair.said));
    const came = meanOf(bin.map((pair) => pair.came));
    error += (Math.abs(said - came) * bin.length) / pairs.length;
  }
  return error;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
