// Brings together what the days ahead mean: the stored outlook and what the yard's trees have taught.
import type { Clock } from "../../shared/clock.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { ComingRuns } from "../../shared/wire/tapping.ts";
import type { ForecastStore } from "../db/forecast.ts";
import { comingDays } from "../domain/tapping/coming-days.ts";
import { litresAhead } from "../domain/tapping/litres-ahead.ts";
import { whenToTap } from "../domain/tapping/when-to-tap.ts";
import { brimPastOf } from "../domain/track.ts";
import type { Roll } from "./roll.ts";

export type TappingParts = {
  clock: Clock;
  forecast: Pick<ForecastStore, "list">;
  roll: Roll;
  timeZone: () => string;
};

const stepHours = 6;
const outlookMs = 17 * msPerDay;

/** The night that has just gone by is in it, as it was foretold. */
export function comingRunsOf(parts: TappingParts): ComingRuns {
  const nowMs = parts.clock.nowMs();
  const timeZone = parts.timeZone();
  const outlook = parts.forecast
    .list({ fromMs: nowMs - msPerDay, toMs: nowMs + outlookMs })
    .flatMap(({ atMs, airC }) => (airC === null ? [] : [{ atMs, airC }]));
  // With the point before now, wherever the outlook goes in steps of hours.
  const ahead = outlook.filter(({ atMs }) => atMs > nowMs - stepHours * msPerHour);
  const last = ahead.at(-1);
  if (last === undefined || last.atMs <= nowMs) {
    return { untilMs: null, days: [], advice: { word: "unknown" }, taughtTrees: 0 };
  }
  const days = comingDays(outlook, { nowMs, timeZone });
  const trees = parts.roll
    .all()
    .filter(({ bucket }) => bucket.role === "sap" && !bucket.parked)
    .map(({ bucket, track }) => ({
      memory: brimPastOf(track).memory,
      taps: bucket.tapIds.length,
    }));
  const { litres, taughtTrees } = litresAhead({ nowMs, outlook: ahead, days, trees });
  return {
    untilMs: last.atMs,
    days: days.map(({ toMs: _, ...day }, index) => ({ ...day, perTapL: litres[index] ?? null })),
    advice: whenToTap(days),
    taughtTrees,
  };
}
