// What the page alone needs: numbers in form fields and on axes, in people's units.
import { formatFlow, formatTimeOfDay, type ReaderTime } from "../shared/people/format.ts";
import { fahrenheitFromC, lFromUsGallons, poundsFromKg, usGallonsFromL } from "../shared/units.ts";
import type { Units } from "../shared/wire/api.ts";

const kgPerPound = 0.45359237;

export function volumeUnit(units: Units): string {
  return units === "us" ? "gal" : "L";
}

export function massUnit(units: Units): string {
  return units === "us" ? "lb" : "kg";
}

export function tempUnit(units: Units): string {
  return units === "us" ? "°F" : "°C";
}

/** A volume in people's units, as a plain number for axes and fields. */
export function volumeNumber(volumeL: number, units: Units): number {
  return units === "us" ? usGallonsFromL(volumeL) : volumeL;
}

export function tempNumber(tempC: number, units: Units): number {
  return units === "us" ? fahrenheitFromC(tempC) : tempC;
}

export function volumeField(volumeL: number, units: Units): string {
  return String(Number(volumeNumber(volumeL, units).toFixed(2)));
}

export function massField(massKg: number, units: Units): string {
  const mass = units === "us" ? poundsFromKg(massKg) : massKg;
  return String(Number(mass.toFixed(3)));
}

/** Litres from what a person typed; undefined when it isn't a number of 0 or more. */
export function volumeLFromField(text: string, units: Units): number | undefined {
  const volume = numberFromField(text);
  if (volume === undefined) return undefined;
  return units === "us" ? lFromUsGallons(volume) : volume;
}

export function massKgFromField(text: string, units: Units): number | undefined {
  const mass = numberFromField(text);
  if (mass === undefined) return undefined;
  return units === "us" ? mass * kgPerPound : mass;
}

function numberFromField(text: string): number | undefined {
  const value = Number(text.trim().replace(",", "."));
  return text.trim() === "" || !Number.isFinite(value) || value < 0 ? undefined : value;
}

/** A day as "11 Mar", for axes longer than a few days. */
export function formatDay(atMs: number, timeZone: string): string {
  return new Date(atMs).toLocaleDateString("en-GB", { timeZone, day: "numeric", month: "short" });
}

/** A share of 0-1 as whole per cent. */
export function formatShare(share: number): string {
  return `${Math.round(share * 100)} %`;
}

/** "17:40" today, "tomorrow 8:00" or "Thu 14:20" else. */
export function formatMoment(atMs: number, time: ReaderTime): string {
  return formatTimeOfDay(atMs, time).replace(/^today /, "");
}

/** "0.36 to 0.48 L/h"; a low end below nought is nought. */
export function formatFlowRange(lowLPerH: number, highLPerH: number, units: Units): string {
  const [low] = formatFlow(Math.max(0, lowLPerH), units).split(" ");
  return `${low} to ${formatFlow(highLPerH, units)}`;
}
