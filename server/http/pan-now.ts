// How near the pan of a boil is to syrup: by a board's probe in the pan, else by what people log.
import { type PanReading, panWatch } from "../../shared/syrup/pan-watch.ts";
import { msPerHour, msPerMinute } from "../../shared/units.ts";
import type { Boil } from "../../shared/wire/boils.ts";
import type { BoilRecord } from "../db/boils.ts";
import { type KitchenParts, pressureNow } from "./kitchen.ts";

/** A board's probe of this name hangs in the pan. */
const probeName = "pan";
const probeFreshMs = 10 * msPerMinute;
const probeLookBackMs = msPerHour;
// Bubbles make a probe jump; a step this long still shows the rise.
const probeStepMs = 3 * msPerMinute;

/** null for a boil that is over, or a pan that doesn't boil yet. */
export function panNow(parts: KitchenParts, boil: BoilRecord): Boil["watch"] {
  if (boil.endedMs !== null) return null;
  const nowMs = parts.clock.nowMs();
  const sapAtMs = boil.entries.findLast(({ kind }) => kind === "sap")?.atMs ?? boil.startedMs;
  const probed = probedReadings(parts, { fromMs: sapAtMs, nowMs });
  const readings = probed.length > 0 ? probed : loggedReadings(boil, sapAtMs);
  const { pressurePa } = pressureNow(parts);
  return panWatch({ readings, pressurePa, aimBrix: boil.aimBrix, nowMs }) ?? null;
}

/** As the thermometer was zeroed that day. */
function loggedReadings({ entries }: BoilRecord, fromMs: number): PanReading[] {
  return entries.flatMap(({ kind, atMs, tempC, offsetC }) =>
    kind === "pan" && tempC !== null && atMs >= fromMs
      ? [{ atMs, tempC: tempC - (offsetC ?? 0) }]
      : [],
  );
}

/** Means of the last hour's steps; none when no probe was heard lately. */
function probedReadings(
  { readings, boards }: KitchenParts,
  { fromMs, nowMs }: { fromMs: number; nowMs: number },
): PanReading[] {
  const probe = boards.listProbes().find(({ name }) => name === probeName);
  if (probe === undefined) return [];
  const sinceMs = Math.max(fromMs, nowMs - probeLookBackMs);
  const span = { probeKey: probe.key, fromMs: sinceMs, untilMs: nowMs + 1 };
  const temps = readings.listTemperatures(span);
  const last = temps.at(-1);
  if (last === undefined || nowMs - last.atMs > probeFreshMs) return [];
  const steps = new Map<number, PanReading[]>();
  for (const each of temps) {
    const step = Math.floor((last.atMs - each.atMs) / probeStepMs);
    steps.set(step, [...(steps.get(step) ?? []), each]);
  }
  return [...steps.values()].map(meanOf);
}

function meanOf(list: readonly PanReading[]): PanReading {
  const mean = (of: (reading: PanReading) => number) =>
    list.reduce((sum, reading) => sum + of(reading), 0) / list.length;
  return { atMs: mean(({ atMs }) => atMs), tempC: mean(({ tempC }) => tempC) };
}
