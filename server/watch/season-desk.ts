// Brings together what the hints of the season's end are made of; looked at once an hour.
import { localParts } from "../../shared/local-time.ts";
import { volumeLFromG } from "../../shared/sap/density.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { ForecastStore } from "../db/forecast.ts";
import type { SugarStore } from "../db/sugars.ts";
import type { DayRow, Tracks } from "../db/tracks.ts";
import { mean } from "../domain/middle.ts";
import { type SeasonDay, type SeasonHints, seasonHints } from "../domain/season/hints.ts";
import type { Roll } from "./roll.ts";
import type { Watched } from "./watched.ts";

export type SeasonDeskParts = {
  tracks: Pick<Tracks, "listDays" | "listSlotGroups">;
  forecast: Pick<ForecastStore, "list">;
  sugars: Pick<SugarStore, "list">;
  roll: Pick<Roll, "all">;
  timeZone: () => string;
};

/** No season is longer; what a bucket weighed last year belongs to another. */
const longestMs = 120 * msPerDay;
const outlookMs = 7 * msPerDay;
const leastCoveredMs = 18 * msPerHour;

export type SeasonDesk = ReturnType<typeof createSeasonDesk>;

export function createSeasonDesk(parts: SeasonDeskParts) {
  let last: { key: string; hints: SeasonHints } | undefined;
  return {
    /** Looked at anew with each hour that passes or that was weighed. */
    hints(nowMs: number): SeasonHints {
      const weighedMs = parts.roll.all().map(({ track }) => track.lastSlotMs ?? 0);
      const hours = [nowMs, Math.max(0, ...weighedMs)].map((ms) => Math.floor(ms / msPerHour));
      const key = hours.join(" ");
      if (last?.key !== key) last = { key, hints: hintsAt(parts, nowMs) };
      return last.hints;
    },
  };
}

function hintsAt(parts: SeasonDeskParts, nowMs: number): SeasonHints {
  const dayOf = (atMs: number) => localParts(atMs, parts.timeZone()).dayKey;
  const fromMs = nowMs - longestMs;
  const sap = parts.roll.all().filter(({ bucket }) => bucket.role === "sap" && !bucket.parked);
  const rows = parts.tracks.listDays(dayOf(fromMs), dayOf(nowMs - msPerDay));
  const litres = litresByDay(rows, new Set(sap.map(({ bucket }) => bucket.id)));
  const air = airByDay(parts, { sap, fromMs, nowMs, dayOf });
  const keys = [...new Set([...litres.keys(), ...air.keys()])].sort();
  const days = keys.map((day): SeasonDay => {
    const { lowC = null, highC = null } = air.get(day) ?? {};
    return { day, litresPerBucket: litres.get(day) ?? null, lowC, highC };
  });
  const sugars = parts.sugars.list().filter(({ atMs }) => atMs >= fromMs && atMs <= nowMs);
  return seasonHints({ days, outlook: outlookFrom(parts, nowMs), sugars });
}

function litresByDay(rows: readonly DayRow[], ids: ReadonlySet<string>): Map<string, number> {
  const heard = new Map<string, number[]>();
  for (const { bucketId, day, inflowG, coveredMs } of rows) {
    if (!ids.has(bucketId) || coveredMs < leastCoveredMs) continue;
    heard.set(day, [...(heard.get(day) ?? []), volumeLFromG(Math.max(0, inflowG))]);
  }
  return new Map([...heard].map(([day, all]) => [day, mean(all)]));
}

type AirDay = { lowC: number; highC: number };

/** Of the bucket that was heard the longest; whole days only. */
function airByDay(
  { tracks }: SeasonDeskParts,
  span: { sap: Watched[]; fromMs: number; nowMs: number; dayOf: (atMs: number) => string },
): Map<string, AirDay> {
  const { sap, fromMs, nowMs, dayOf } = span;
  const [longest] = [...sap].sort(
    (a, b) => (a.track.firstMs ?? nowMs) - (b.track.firstMs ?? nowMs),
  );
  if (longest === undefined) return new Map();
  const bucketId = longest.bucket.id;
  const hours = tracks.listSlotGroups({ bucketId, fromMs, toMs: nowMs, stepMs: msPerHour });
  const byDay = new Map<string, AirDay>();
  for (const { atMs, airC } of hours) {
    if (airC === null) continue;
    const day = dayOf(atMs - 1);
    const { lowC = airC, highC = airC } = byDay.get(day) ?? {};
    byDay.set(day, { lowC: Math.min(lowC, airC), highC: Math.max(highC, airC) });
  }
  byDay.delete(dayOf(nowMs));
  return byDay;
}

function outlookFrom({ forecast }: SeasonDeskParts, nowMs: number) {
  const temps = forecast
    .list({ fromMs: nowMs, toMs: nowMs + outlookMs })
    .flatMap(({ atMs, airC }) => (airC === null ? [] : [{ atMs, airC }]));
  const last = temps.at(-1);
  if (last === undefined) return null;
  const lowC = temps.reduce((low, { airC }) => Math.min(low, airC), last.airC);
  return { hours: (last.atMs - nowMs) / msPerHour, lowC };
}
