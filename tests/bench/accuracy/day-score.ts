// How far the chances told for a day ahead can be trusted in the first days of a season, and later: by the season's day.
import { overBefore } from "../../../server/domain/brim/forecast.ts";
import { calibrationErrorOf, type ScoredForecast, virtualPairs } from "./forecast-score.ts";
import { knotMs } from "./season-weather.ts";

export type DayFigures = {
  name: string;
  days: string;
  rooms: "any" | "as it was";
  count: number;
  said: number;
  came: number;
  calibrationError: number;
};

export type DayScores = {
  take(name: string, scored: ScoredForecast): void;
  figures(): DayFigures[];
};

type Pair = { said: number; came: number };

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const leadH = 24;
const firstDays = [0, 1, 5, 10, 20];

export function createDayScores(): DayScores {
  const all = new Map<string, Pair[]>();
  const put = (key: string, pairs: readonly Pair[]) => {
    const known = all.get(key) ?? [];
    all.set(key, known);
    known.push(...pairs);
  };
  return {
    take(name, scored) {
      const days = daysOf((scored.nowMs - scored.season.startMs) / dayMs);
      put(`${name}|${days}|any`, virtualPairs(scored, leadH));
      put(`${name}|${days}|as it was`, ownPair(scored));
    },
    figures: () => [...all].toSorted(([a], [b]) => a.localeCompare(b)).map(figuresOf),
  };
}

function daysOf(day: number): string {
  const place = firstDays.findLastIndex((from) => from <= day);
  const until = firstDays[place + 1];
  const from = String(firstDays[place]).padStart(2);
  return until === undefined ? `${from} on` : `${from} to ${until}`;
}

/** The room that the bucket had, against the sap that then ran; ice that takes of it later is left out. */
function ownPair({ season, tree, nowMs, forecast }: ScoredForecast): Pair[] {
  const knot = (nowMs - season.startMs) / knotMs;
  const { inflowG, roomG } = tree.truth;
  const later = inflowG[knot + (leadH * hourMs) / knotMs];
  const room = roomG[knot] ?? 0;
  if (later === undefined || room <= 0) return [];
  const came = Number(later - (inflowG[knot] ?? 0) >= room);
  return [{ said: overBefore(forecast, nowMs + leadH * hourMs), came }];
}

function figuresOf([key, pairs]: [string, readonly Pair[]]): DayFigures {
  const [name = "", days = "", rooms = ""] = key.split("|");
  const meanOf = (pick: (pair: Pair) => number) =>
    pairs.reduce((sum, pair) => sum + pick(pair), 0) / pairs.length;
  return {
    name,
    days,
    rooms: rooms === "any" ? "any" : "as it was",
    count: pairs.length,
    said: meanOf(({ said }) => said),
    came: meanOf(({ came }) => came),
    calibrationError: calibrationErrorOf(pairs),
  };
}
