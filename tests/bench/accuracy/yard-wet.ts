// Rain and snow of the accuracy yard, told across its buckets as the product does, beside what really fell.
import { snowGPerMm } from "../../../device/yard/lid.ts";
import { halfHourMs, type Wet, wetOf } from "../../../server/domain/rain/wet.ts";
import type { SeasonWeather } from "./season-weather.ts";
import { knotMs } from "./season-weather.ts";
import type { Followed } from "./yard.ts";

/** By the end of the half hour. */
export type WetHalfHours = ReadonlyMap<number, Wet>;

export type WetFigures = { snowy: number; found: number; dry: number; falseOnes: number };

type Span = { startMs: number; days: number; weather: SeasonWeather };

const dayMs = 86_400_000;
const strengthDays = 7;
const slotsInHalfHour = 3;
const heavyGPerH = 30;

/** Without a forecast of the sky and without a control bucket: the hardest case. */
export function wetHalfHours(trees: readonly Followed[], span: Span): WetHalfHours {
  const wet = new Map<number, Wet>();
  const bySlot = trees.map(({ slots }) => new Map(slots.map((slot) => [slot.atMs, slot])));
  for (let day = 1; day < span.days; day += 1) {
    const dayStartMs = span.startMs + day * dayMs;
    const strengths = strengthsBefore(trees, dayStartMs);
    for (let atMs = dayStartMs + halfHourMs; atMs <= dayStartMs + dayMs; atMs += halfHourMs) {
      const catchers = bySlot.flatMap((slots, place) => {
        const own = [0, 1, 2].flatMap((back) => slots.get(atMs - (back * halfHourMs) / 3) ?? []);
        if (own.length < slotsInHalfHour || own.some(({ full }) => full)) return [];
        const inflowGPerH = 2 * own.reduce((sum, { inflowG }) => sum + inflowG, 0);
        return [{ inflowGPerH, strength: strengths[place] ?? 1 }];
      });
      const { airC } = meanOver(span.weather, atMs);
      const found = wetOf({ catchers, controls: [], airC, cloudPercent: undefined });
      if (found !== undefined) wet.set(atMs, found);
    }
  }
  return wet;
}

function strengthsBefore(trees: readonly Followed[], dayStartMs: number): number[] {
  const sums = trees.map(({ slots }) =>
    slots
      .filter(({ atMs }) => atMs > dayStartMs - strengthDays * dayMs && atMs <= dayStartMs)
      .reduce((sum, { inflowG }) => sum + inflowG, 0),
  );
  const mean = sums.reduce((sum, one) => sum + one, 0) / sums.length;
  return sums.map((sum) => sum / mean);
}

function meanOver(weather: SeasonWeather, atMs: number): { airC: number; mmPerH: number } {
  const knots = halfHourMs / knotMs;
  const all = Array.from({ length: knots }, (_, index) => weather.at(atMs - (index + 1) * knotMs));
  const airC = all.reduce((sum, one) => sum + one.airC, 0) / knots;
  return { airC, mmPerH: all.reduce((sum, one) => sum + one.rainMmPerH, 0) / knots };
}

/** Snow of some weight on the lids by day, and half hours with nothing falling at all. */
export function wetFigures(wet: WetHalfHours, { startMs, days, weather }: Span): WetFigures {
  const figures = { snowy: 0, found: 0, dry: 0, falseOnes: 0 };
  for (
    let atMs = startMs + dayMs + halfHourMs;
    atMs <= startMs + days * dayMs;
    atMs += halfHourMs
  ) {
    const { airC, mmPerH } = meanOver(weather, atMs);
    // By night the frost alone tells that what comes is no sap.
    const hour = (atMs % dayMs) / 3_600_000;
    const isDay = hour > 8 && hour <= 18;
    const isSnowy = isDay && airC < -0.5 && mmPerH * snowGPerMm > heavyGPerH;
    const isTold = wet.has(atMs);
    figures.snowy += Number(isSnowy);
    figures.found += Number(isSnowy && isTold);
    figures.dry += Number(mmPerH === 0);
    figures.falseOnes += Number(mmPerH === 0 && isTold);
  }
  return figures;
}
