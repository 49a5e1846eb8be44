// What clock and calendar on the wall of a time zone say at an instant, and back, right across daylight saving.
import { msPerDay, msPerHour, msPerMinute } from "./units.ts";

export type LocalParts = {
  /** The local calendar day, "2026-03-14". */
  dayKey: string;
  /** 0-23. */
  hour: number;
  /** 0-59. */
  minute: number;
  /** 0-1439: hour * 60 + minute. */
  minuteOfDay: number;
};

type Zone = { wallClock: Intl.DateTimeFormat; offsetMsByQuarter: Map<number, number> };

// Every zone in use today changes its clocks on a whole quarter of an hour of UTC, so one look-up serves it.
const quarterMs = 15 * msPerMinute;
const mostQuartersKept = 20_000;
const zonesByName = new Map<string, Zone>();

/** True when the name is a time zone this program knows, such as "America/Toronto" or "UTC". */
export function isTimeZone(name: string): boolean {
  try {
    zoneFrom(name);
    return true;
  } catch {
    return false;
  }
}

/** Local day and time of day at an instant. Throws RangeError for an unknown zone or a time that is no number. */
export function localParts(atMs: number, timeZone: string): LocalParts {
  const local = new Date(atMs + offsetMs(atMs, zoneFrom(timeZone)));
  const hour = local.getUTCHours();
  const minute = local.getUTCMinutes();
  return {
    dayKey: local.toISOString().slice(0, 10),
    hour,
    minute,
    minuteOfDay: hour * 60 + minute,
  };
}

/** Hour of the local day with its fraction, 0 up to 24. Throws as localParts does. */
export function localHour(atMs: number, timeZone: string): number {
  const localMs = atMs + offsetMs(atMs, zoneFrom(timeZone));
  return (localMs - Math.floor(localMs / msPerDay) * msPerDay) / msPerHour;
}

/**
 * The instant of a local time of day, on a day given by its key or by any instant in it.
 * A time that comes twice (clocks go back) is the first; one that is skipped (clocks go forward)
 * is moved on by what was skipped. Throws RangeError for a day, time or zone that is none.
 */
export function msAtLocalTime(day: string | number, timeOfDay: string, timeZone: string): number {
  const zone = zoneFrom(timeZone);
  const dayKey = typeof day === "string" ? day : localParts(day, timeZone).dayKey;
  const wallMs = Date.parse(`${dayKey}T${timeOfDay}:00.000Z`);
  if (Number.isNaN(wallMs) || !isoText(wallMs).startsWith(`${dayKey}T${timeOfDay}:`)) {
    throw new RangeError(`local time requires a day and HH:MM, got "${dayKey}" "${timeOfDay}"`);
  }
  const offsetBeforeMs = offsetMs(wallMs - msPerDay, zone);
  const offsetAfterMs = offsetMs(wallMs + msPerDay, zone);
  const earlierMs = wallMs - Math.max(offsetBeforeMs, offsetAfterMs);
  const laterMs = wallMs - Math.min(offsetBeforeMs, offsetAfterMs);
  return earlierMs + offsetMs(earlierMs, zone) === wallMs ? earlierMs : laterMs;
}

/** The first instant of the local day that holds atMs. */
export function startOfLocalDayMs(atMs: number, timeZone: string): number {
  return msAtLocalTime(atMs, "00:00", timeZone);
}

function isoText(atMs: number): string {
  return new Date(atMs).toISOString();
}

function zoneFrom(name: string): Zone {
  const known = zonesByName.get(name);
  if (known !== undefined) {
    return known;
  }
  const wallClock = new Intl.DateTimeFormat("en-US", {
    timeZone: name,
    calendar: "iso8601",
    numberingSystem: "latn",
    hourCycle: "h23",
    year: "numeric",
    month: "numeric",
    day: "numeric",
    hour: "numeric",
    minute: "numeric",
    second: "numeric",
  });
  const zone = { wallClock, offsetMsByQuarter: new Map<number, number>() };
  zonesByName.set(name, zone);
  return zone;
}

function offsetMs(atMs: number, zone: Zone): number {
  const quarter = Math.floor(atMs / quarterMs);
  const known = zone.offsetMsByQuarter.get(quarter);
  if (known !== undefined) {
    return known;
  }
  if (zone.offsetMsByQuarter.size >= mostQuartersKept) {
    zone.offsetMsByQuarter.clear();
  }
  const offset = offsetMsAt(quarter * quarterMs, zone.wallClock);
  zone.offsetMsByQuarter.set(quarter, offset);
  return offset;
}

function offsetMsAt(atMs: number, wallClock: Intl.DateTimeFormat): number {
  const parts = new Map(
    wallClock.formatToParts(atMs).map(({ type, value }) => [type, Number(value)]),
  );
  const of = (type: Intl.DateTimeFormatPartTypes) => parts.get(type) ?? 0;
  const wallMs = Date.UTC(
    of("year"),
    of("month") - 1,
    of("day"),
    of("hour"),
    of("minute"),
    of("second"),
  );
  return wallMs - atMs;
}
