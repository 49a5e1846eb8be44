// Tells rain and snow from sap across the yard's buckets, half hour by half hour, from what is stored of them.
import { localParts, startOfLocalDayMs } from "../../shared/local-time.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { ForecastStore } from "../db/forecast.ts";
import type { Tracks } from "../db/tracks.ts";
import type { WetRow, WetStore } from "../db/wets.ts";
import type { Slot } from "../domain/bucket.ts";
import { slotMs } from "../domain/flow/ledger.ts";
import { mean } from "../domain/middle.ts";
import { type HalfHour, halfHourMs, wetMassG, wetOf } from "../domain/rain/wet.ts";
import type { DayBook } from "./day-book.ts";
import type { Roll } from "./roll.ts";
import { presentSetup, type Watched } from "./watched.ts";

export type RainDeskParts = {
  tracks: Pick<Tracks, "listSlots">;
  wets: WetStore;
  forecast: Pick<ForecastStore, "list">;
  roll: Roll;
  timeZone: () => string;
};

const strengthDays = 7;
const leastStrengthG = 300;
const slotsInHalfHour = halfHourMs / slotMs;
const recordsMs = 60 * msPerDay;

/** What came into one bucket in one half hour. */
type Came = { watched: Watched; inflowG: number; airC: number | undefined };
type Strengths = ReadonlyMap<string, number>;

export type RainDesk = ReturnType<typeof createRainDesk>;

export function createRainDesk(parts: RainDeskParts) {
  let controls = "";
  return {
    /** Looks again at the half hours whose slots changed; gives the buckets for which something else came out. */
    settle(dayBook: Pick<DayBook, "touch">): Set<Watched> {
      const changed = new Set<Watched>();
      const due = parts.wets.due();
      if (due.length === 0) return changed;
      const strengthsOn = createStrengths(parts);
      for (const atMs of withDaysAfter(due, parts.timeZone())) {
        for (const watched of settleHalfHour(parts, atMs, strengthsOn(atMs))) {
          changed.add(watched);
          dayBook.touch(watched, { atMs });
        }
      }
      parts.wets.noneDue();
      for (const watched of changed) refresh(parts, watched);
      return changed;
    },
    /** What is falling now, and the rain in the bucket. */
    refresh: (watched: Watched) => refresh(parts, watched),
    /** A bucket that became a control or ceased to be one tells other things of the past. */
    recordsChanged(nowMs: number): void {
      const before = controls;
      controls = controlsOf(parts.roll);
      if (controls !== before) parts.wets.dueAfter(nowMs - recordsMs);
    },
    start(): void {
      controls = controlsOf(parts.roll);
      for (const watched of parts.roll.all()) refresh(parts, watched);
    },
  };
}

function controlsOf(roll: Roll): string {
  const all = roll.all().filter(({ bucket }) => bucket.role === "control" && !bucket.parked);
  return all.map(({ bucket }) => bucket.id).join(" ");
}

/** How strong trees are is told by the days before: what changes on a day bears on the week after it. */
function withDaysAfter(due: readonly number[], timeZone: string): number[] {
  const first = due[0] ?? 0;
  const last = due.at(-1) ?? 0;
  const nextDayMs = startOfLocalDayMs(
    startOfLocalDayMs(first - 1, timeZone) + 36 * msPerHour,
    timeZone,
  );
  const untilMs = Math.min(last, nextDayMs + strengthDays * msPerDay);
  const all = new Set(due);
  for (let atMs = nextDayMs + halfHourMs; atMs <= untilMs; atMs += halfHourMs) all.add(atMs);
  return [...all].sort((one, other) => one - other);
}

/** Strengths by local day, each reckoned once. */
function createStrengths({ wets, timeZone }: RainDeskParts): (atMs: number) => Strengths {
  const byDay = new Map<string, Strengths>();
  const dayOf = (atMs: number) => localParts(atMs, timeZone()).dayKey;
  return (atMs) => {
    const day = dayOf(atMs - 1);
    const known =
      byDay.get(day) ??
      strengthsFrom(wets.inflowOfDays(dayOf(atMs - 1 - strengthDays * msPerDay), day));
    byDay.set(day, known);
    return known;
  };
}

function strengthsFrom(inflows: ReadonlyMap<string, number>): Strengths {
  const usualG = mean([...inflows.values()]);
  if (!(usualG > leastStrengthG)) return new Map();
  return new Map([...inflows].map(([bucketId, inflowG]) => [bucketId, inflowG / usualG]));
}

/** The buckets whose part in this half hour's rain is another than it was. */
function settleHalfHour(parts: RainDeskParts, atMs: number, strengths: Strengths): Watched[] {
  const came = cameIn(parts, atMs);
  const rows = rowsOf(parts, { atMs, came, strengths });
  const before = parts.wets.at(atMs);
  const massOf = (list: readonly WetRow[], id: string) => {
    const row = list.find(({ bucketId }) => bucketId === id);
    return row === undefined ? "" : `${row.kind} ${Math.round(10 * row.massG)}`;
  };
  const ids = new Set([...before, ...rows].map(({ bucketId }) => bucketId));
  const changed = [...ids].filter((id) => massOf(before, id) !== massOf(rows, id));
  if (changed.length > 0) parts.wets.replace(atMs, rows);
  return changed.flatMap((id) => parts.roll.find(id) ?? []);
}

/** Of the buckets that were heard all through it. */
function cameIn({ roll, tracks }: RainDeskParts, atMs: number): Came[] {
  return roll.all().flatMap((watched) => {
    const slots = tracks.listSlots(watched.bucket.id, atMs - halfHourMs, atMs);
    if (slots.length < slotsInHalfHour || slots.some(({ full }) => full)) return [];
    const inflowG = slots.reduce((sum, slot) => sum + slot.inflowG, 0);
    return [{ watched, inflowG, airC: meanAirC(slots) }];
  });
}

function rowsOf(
  parts: RainDeskParts,
  { atMs, came, strengths }: { atMs: number; came: readonly Came[]; strengths: Strengths },
): WetRow[] {
  const hourMs = Math.floor((atMs - 1) / msPerHour) * msPerHour;
  const [hour] = parts.forecast.list({ fromMs: hourMs, toMs: hourMs + 1 });
  const wet = wetOf({
    ...caughtBy(came, strengths),
    cloudPercent: hour?.cloudPercent ?? undefined,
  });
  if (wet === undefined) return [];
  const control = came.find(({ watched }) => watched.bucket.role === "control");
  const controlCapacityG = control && presentSetup(control.watched).capacityG;
  return came.flatMap(({ watched, inflowG }) => {
    if (watched.bucket.role === "control") return [];
    const { capacityG } = presentSetup(watched);
    const massG = Math.round(10 * wetMassG(wet, { inflowG, capacityG, controlCapacityG })) / 10;
    return massG > 0 ? [{ bucketId: watched.bucket.id, atMs, kind: wet.kind, massG }] : [];
  });
}

function caughtBy(
  came: readonly Came[],
  strengths: Strengths,
): Pick<HalfHour, "catchers" | "controls" | "airC"> {
  const perHour = msPerHour / halfHourMs;
  return {
    airC: meanAirC(came),
    catchers: came.flatMap(({ watched, inflowG }) => {
      const strength = strengths.get(watched.bucket.id);
      const isTold = strength !== undefined && watched.bucket.role === "sap";
      return isTold ? [{ inflowGPerH: inflowG * perHour, strength }] : [];
    }),
    controls: came
      .filter(({ watched }) => watched.bucket.role === "control")
      .map(({ watched, inflowG }) => ({
        inflowGPerH: inflowG * perHour,
        capacityG: presentSetup(watched).capacityG,
      })),
  };
}

function meanAirC(heard: readonly Pick<Came | Slot, "airC">[]): number | undefined {
  const known = heard.flatMap(({ airC }) => (airC === undefined ? [] : [airC]));
  return known.length === 0 ? undefined : mean(known);
}

function refresh({ wets }: RainDeskParts, watched: Watched): void {
  const latest = wets.latest(watched.bucket.id);
  watched.rainG = wets.rainSinceEmptiedG(watched.bucket.id);
  watched.wet =
    latest === undefined
      ? undefined
      : {
          kind: latest.kind,
          gPerH: (latest.massG * msPerHour) / halfHourMs,
          untilMs: latest.atMs + halfHourMs,
        };
}
