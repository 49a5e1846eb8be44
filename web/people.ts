// Stand-in for shared/people until it is there.

import { fahrenheitFromC, poundsFromKg, usGallonsFromL } from "../shared/units.ts";
import type { DoNowPart, Units } from "../shared/wire/api.ts";
export type When = { nowMs: number; timeZone: string };
export const formatVolume = (v: number, u: Units) =>
  u === "us" ? `${usGallonsFromL(v).toFixed(1)} gal` : `${v.toFixed(1)} L`;
export const formatFlow = (v: number, u: Units) =>
  u === "us" ? `${usGallonsFromL(v).toFixed(2)} gal/h` : `${v.toFixed(2)} L/h`;
export const formatTemp = (v: number, u: Units) =>
  u === "us" ? `${Math.round(fahrenheitFromC(v))} °F` : `${v.toFixed(1)} °C`;
export const formatMass = (v: number, u: Units) =>
  u === "us" ? `${poundsFromKg(v).toFixed(1)} lb` : `${v.toFixed(1)} kg`;
export const formatTimeOfDay = (atMs: number, { nowMs, timeZone }: When) => {
  const t = new Date(atMs).toLocaleTimeString("en-GB", {
    timeZone,
    hour: "2-digit",
    minute: "2-digit",
  });
  const d = (x: number) => new Date(x).toLocaleDateString("en-GB", { timeZone, weekday: "short" });
  return d(atMs) === d(nowMs) ? t : `${d(atMs)} ${t}`;
};
export const formatAge = (ms: number) =>
  ms < 90e3
    ? `${Math.round(ms / 1e3)} s`
    : ms < 90 * 60e3
      ? `${Math.round(ms / 60e3)} min`
      : `${Math.round(ms / 36e5)} h`;
export const formatIn = (atMs: number, nowMs: number) => `in ${formatAge(atMs - nowMs)}`;
export const doNowSentence = (
  _p: DoNowPart[],
  _c: { labelOf: (id: string) => string; units: Units; timeZone: string; nowMs: number },
) => "";
