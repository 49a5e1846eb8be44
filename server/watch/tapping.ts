// Brings together what the days ahead mean: the stored outlook and what the yard's trees have taught.
import type { Clock } from "../../shared/clock.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { OutlookState } from "../../shared/wire/outlook.ts";
import type { ComingRuns } from "../../shared/wire/tapping.ts";
import type { ForecastStore } from "../db/forecast.ts";
import { outlookState } from "../domain/brim/outlook.ts";
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
/** Today and the night before it. */
const lookBackMs = 2 * msPerDay;

/** What can't be right tells nothing; one that ends soon, or has holes, tells the days that it knows. */
const untold: readonly OutlookState[] = ["none", "impossible", "one-value", "elsewhere"];
const airHoldsMs = msPerHour;

/** The night that has just gone by is in it, as it was foretold. */
export function comingRunsOf(parts: TappingParts): ComingRuns {
  const nowMs = parts.clock.nowMs();
  const timeZone = parts.timeZone();
  const outlook = parts.forecast
    .list({ fromMs: nowMs - lookBackMs, toMs: nowMs + outlookMs })
    .flatMap(({ atMs, airC }) => (airC === null ? [] : [{ atMs, airC }]));
  const last = outlook.at(-1);
  const state = outlookState(outlook, { atMs: nowMs, airC: airNowC(parts.roll, nowMs) });
  if (last === undefined || last.atMs <= nowMs || untold.includes(state)) {
    return noRuns(state);
  }
  const days = comingDays(outlook, { nowMs, timeZone });
  const trees = parts.roll
    .all()
    .filter(({ bucket }) => bucket.role === "sap" && !bucket.parked)
    .map(({ bucket, track }) => ({
      memory: brimPastOf(track).memory,
      taps: bucket.tapIds.length,
    }));
  // From the morning on, so that the figures are of the forecast and the day, not of the minute that asks; with the
  // point before it, wherever the outlook goes in steps of hours.
  const dayMs = days[0]?.fromMs ?? nowMs;
  const ahead = outlook.filter(({ atMs }) => atMs > dayMs - stepHours * msPerHour);
  const fromMs = Math.max(dayMs, ahead[0]?.atMs ?? dayMs);
  const { litres, taughtTrees } = litresAhead({ fromMs, outlook: ahead, days, trees });
  return {
    outlook: state,
    untilMs: last.atMs,
    days: days.map(({ toMs: _, ...day }, index) => ({ ...day, perTapL: litres[index] ?? null })),
    advice: whenToTap(days),
    taughtTrees,
  };
}

/** Nothing to tell by. */
export function noRuns(outlook: OutlookState): ComingRuns {
  return { outlook, untilMs: null, days: [], advice: { word: "unknown" }, taughtTrees: 0 };
}

/** As a board measures it now; null when none does. */
function airNowC(roll: Roll, nowMs: number): number | null {
  const heard = roll.all().find(({ track: { atMs, airC } }) => {
    return airC !== null && atMs !== null && Math.abs(nowMs - atMs) < airHoldsMs;
  });
  return heard?.track.airC ?? null;
}
