// Figures and times as people read them: the one place where a yard's units and wording come in.
import { localParts } from "../local-time.ts";
import {
  fahrenheitFromC,
  msPerDay,
  msPerHour,
  msPerMinute,
  poundsFromKg,
  usGallonsFromL,
} from "../units.ts";
import type { Units } from "../wire/api.ts";

export type ReaderTime = { nowMs: number; timeZone: string };

const weekdays = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const nearDays = new Map([
  [-1, "yesterday"],
  [0, "today"],
  [1, "tomorrow"],
]);
const noonHour = 12;

/** "5.3 L" or "1.40 gal": two decimals of a gallon below 10, one above, as a litre has one. */
export function formatVolume(volumeL: number, units: Units): string {
  if (units === "metric") {
    return `${fixed(volumeL, 1)} L`;
  }
  const volumeUsGal = usGallonsFromL(volumeL);
  return `${fixed(volumeUsGal, Math.abs(volumeUsGal) < 10 ? 2 : 1)} gal`;
}

/** As people say it: "9.3 L", from ten on "42 L"; "2.5 gal", from ten on "11 gal". */
export function formatRoundVolume(volumeL: number, units: Units): string {
  const volume = units === "metric" ? volumeL : usGallonsFromL(volumeL);
  const unit = units === "metric" ? "L" : "gal";
  return `${fixed(volume, Math.abs(volume) < 9.95 ? 1 : 0)} ${unit}`;
}

/** "0.24 L/h" or "0.06 gal/h". */
export function formatFlow(flowLPerH: number, units: Units): string {
  return units === "metric"
    ? `${fixed(flowLPerH, 2)} L/h`
    : `${fixed(usGallonsFromL(flowLPerH), 2)} gal/h`;
}

/** "4.1 °C" or "39 °F". */
export function formatTemp(tempC: number, units: Units): string {
  return units === "metric" ? `${fixed(tempC, 1)} °C` : `${fixed(fahrenheitFromC(tempC), 0)} °F`;
}

/** "7.3 kg" or "16.1 lb". */
export function formatMass(massKg: number, units: Units): string {
  return units === "metric" ? `${fixed(massKg, 1)} kg` : `${fixed(poundsFromKg(massKg), 1)} lb`;
}

/** "15:40" on the local clock. */
export function formatClock(atMs: number, timeZone: string): string {
  const { hour, minute } = localParts(atMs, timeZone);
  return `${hour}:${String(minute).padStart(2, "0")}`;
}

/** "today 15:40", "tomorrow 8:00", "yesterday 8:00", within six days "Thu 14:20", else "5 Mar 14:20". */
export function formatTimeOfDay(atMs: number, { nowMs, timeZone }: ReaderTime): string {
  return `${dayName(atMs, { nowMs, timeZone }, 3)} ${formatClock(atMs, timeZone)}`;
}

/**
 * A time by which something should be done, rounded down to be on the careful side: "15:30" today,
 * "tomorrow 8:00", later to the hour with the day's whole name, "Thursday noon"; the end of a day is
 * the end of that day.
 */
export function formatDeadline(atMs: number, time: ReaderTime): string {
  return deadlineWords(atMs, time, (dayMs) => dayName(dayMs, time, 9));
}

/** The same for what is read on other days too: "Friday 4:00", never "tomorrow 4:00". */
export function formatLastingDeadline(atMs: number, time: ReaderTime): string {
  return deadlineWords(atMs, time, (dayMs) => {
    const name = dayName(dayMs, time, 9);
    return name === "tomorrow" ? weekdayOf(dayMs, time.timeZone) : name;
  });
}

function deadlineWords(
  atMs: number,
  { nowMs, timeZone }: ReaderTime,
  dayOf: (dayMs: number) => string,
): string {
  const today = daysApart(atMs, { nowMs, timeZone }) === 0;
  const { minute } = localParts(atMs, timeZone);
  const step = today ? 15 : 60;
  const rounded = atMs - (minute % step) * msPerMinute;
  const careful = rounded > nowMs ? rounded : atMs;
  const at = localParts(careful, timeZone);
  if (at.hour === 0 && at.minute === 0) {
    const before = dayOf(careful - msPerMinute);
    return before === "today" ? "midnight" : `the end of ${before}`;
  }
  const day = today ? "" : `${dayOf(atMs)} `;
  const isNoon = !today && at.hour === noonHour;
  return `${day}${isNoon ? "noon" : formatClock(careful, timeZone)}`;
}

/** "5 Mar". */
export function formatDate(atMs: number, timeZone: string): string {
  const date = new Date(dayStart(atMs, timeZone));
  return `${date.getUTCDate()} ${months[date.getUTCMonth()] ?? ""}`;
}

/** "Thu 5 Mar" of "2026-03-05", or with more letters of its weekday. */
export function formatDayKey(dayKey: string, letters = 3): string {
  const date = new Date(`${dayKey}T00:00:00Z`);
  const weekday = (weekdays[date.getUTCDay()] ?? "").slice(0, letters);
  return `${weekday} ${date.getUTCDate()} ${months[date.getUTCMonth()] ?? ""}`;
}

/** "now", "in 25 min", "in 3 h", "in 2 days". */
export function formatIn(spanMs: number): string {
  return spanMs < msPerMinute / 2 ? "now" : `in ${formatSpan(spanMs)}`;
}

/** "just now", "25 min ago", "3 h ago", "2 days ago". */
export function formatAge(spanMs: number): string {
  return spanMs < msPerMinute / 2 ? "just now" : `${formatSpan(spanMs)} ago`;
}

/** "Gate", "Gate and Well", "Gate, Well and Spring". */
export function formatList(words: readonly string[]): string {
  const last = words.at(-1) ?? "";
  return words.length < 2 ? last : `${words.slice(0, -1).join(", ")} and ${last}`;
}

/** "1 pail", "3 pails". */
export function formatCount(count: number, thing: string): string {
  return `${count} ${thing}${count === 1 ? "" : "s"}`;
}

function formatSpan(spanMs: number): string {
  const minutes = Math.round(spanMs / msPerMinute);
  if (minutes < 90) {
    return `${minutes} min`;
  }
  const hours = Math.round(spanMs / msPerHour);
  return hours < 48 ? `${hours} h` : `${Math.round(spanMs / msPerDay)} days`;
}

function dayName(atMs: number, time: ReaderTime, letters: number): string {
  const days = daysApart(atMs, time);
  const near = nearDays.get(days);
  if (near !== undefined) {
    return near;
  }
  if (Math.abs(days) <= 6) {
    return weekdayOf(atMs, time.timeZone).slice(0, letters);
  }
  return formatDate(atMs, time.timeZone);
}

function weekdayOf(atMs: number, timeZone: string): string {
  return weekdays[new Date(dayStart(atMs, timeZone)).getUTCDay()] ?? "";
}

function daysApart(atMs: number, { nowMs, timeZone }: ReaderTime): number {
  return Math.round((dayStart(atMs, timeZone) - dayStart(nowMs, timeZone)) / msPerDay);
}

/** Local calendar days as instants of UTC, so that all are 24 h apart. */
function dayStart(atMs: number, timeZone: string): number {
  return Date.parse(`${localParts(atMs, timeZone).dayKey}T00:00:00Z`);
}

function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : text;
}
