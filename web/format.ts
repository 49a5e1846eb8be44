// What the page alone needs: numbers on axes and in fields, in people's units.
import { formatFlow, formatTimeOfDay, type ReaderTime } from "../shared/people/format.ts";
import { fahrenheitFromC, poundsFromKg, usGallonsFromL } from "../shared/units.ts";
import type { Units } from "../shared/wire/api.ts";

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

/** A weight as it may be typed, to the gram: what a cell shows is taken over as it is. */
export function massText(massKg: number, units: Units): string {
  const mass = units === "us" ? poundsFromKg(massKg) : massKg;
  return `${Number(mass.toFixed(3))} ${massUnit(units)}`;
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
