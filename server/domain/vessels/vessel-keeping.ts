// What keeping comes to for a vessel: the same answer that a bucket gives, from its contents.
import { msPerHour } from "../../../shared/units.ts";
import { type AirDay, type AirPoint, createAirAhead, startAirDay } from "../keeping/air-ahead.ts";
import { type KeepingAnswer, keepingOf } from "../keeping/boil-by.ts";
import { startKeeping } from "../keeping/keeping.ts";
import { sapNode } from "../keeping/temperature.ts";
import type { VesselContents } from "./contents.ts";
import { aroundC, type MeasuredTemp, type Surrounding } from "./standing.ts";

export type VesselWeather = {
  /** The yard's air of the last day, and the outlook. */
  airDay: AirDay;
  outlook: readonly AirPoint[];
  seasonDay: number;
  weekMeanC: number;
};

const probeHoldsMs = 3 * msPerHour;
const typedHoldsMs = 12 * msPerHour;

/** How the sap in a vessel keeps, at the time its contents were gone through to. */
export function vesselKeeping(
  contents: VesselContents,
  around: Surrounding,
  weather: VesselWeather,
): KeepingAnswer {
  const { atMs, body } = contents;
  const nowMs = atMs ?? 0;
  const { seasonDay, weekMeanC } = weather;
  // A cooler or a thermometer speaks for itself: the yard's air need not be known then.
  const ownAirDay: AirDay = { ...startAirDay(), lastAtMs: nowMs };
  const isOwn = around.place === "cooler" || around.airC(nowMs) === null;
  const airAheadC = ahead(contents, around, weather);
  const state = {
    ...startKeeping(),
    atMs,
    netG: body.netG,
    enthalpyJ: body.enthalpyJ,
    counts: [...body.counts],
    pastSinceMs: contents.pastSinceMs,
    seasonDay,
    weekMeanC,
    airDay: isOwn && airAheadC !== null ? ownAirDay : weather.airDay,
  };
  return keepingOf(state, { nowMs, netG: body.netG, airAheadC });
}

function ahead(
  contents: VesselContents,
  around: Surrounding,
  { airDay, outlook }: VesselWeather,
): ((atMs: number) => number) | null {
  const airAheadC = createAirAhead(airDay, outlook);
  if (around.place === "cooler" || airAheadC !== null) {
    const airC = airAheadC ?? (() => null);
    return (atMs) => aroundC({ ...around, airC }, atMs) ?? 0;
  }
  const measured = latestTemp(around.measured, contents.atMs ?? 0);
  if (measured === undefined) return null;
  const { tempC } = sapNode(contents.body.enthalpyJ, contents.body.netG);
  return () => tempC;
}

/** The last temperature measured in it, while it still says something. */
export function latestTemp(
  measured: readonly MeasuredTemp[],
  nowMs: number,
): MeasuredTemp | undefined {
  const last = measured.findLast(({ atMs }) => atMs <= nowMs);
  if (last === undefined) return undefined;
  const holdsMs = last.from === "probe" ? probeHoldsMs : typedHoldsMs;
  return nowMs - last.atMs <= holdsMs ? last : undefined;
}
