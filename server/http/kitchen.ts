// What the boil needs to know of the yard now: pressure, thermometer, sap in hand, its sugar, the pan's record.
import { isTimeZone, localParts, msAtLocalTime } from "../../shared/local-time.ts";
import { stationPressurePa } from "../../shared/syrup/station-pressure.ts";
import { waterBoilingTempC } from "../../shared/syrup/water.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { YardView } from "../../shared/wire/api.ts";
import type { BoilPlan, BoilSetup, ThermometerCheck } from "../../shared/wire/syrup.ts";
import type { ZeroReading } from "../db/boil-settings.ts";
import { accountOfBoil } from "../domain/boil/account.ts";
import { type PanRecord, panRecordOf } from "../domain/boil/pan-record.ts";
import type { HttpParts } from "./parts.ts";

export type KitchenParts = Pick<
  HttpParts,
  | "watch"
  | "clock"
  | "readings"
  | "boards"
  | "boils"
  | "boilSettings"
  | "seasons"
  | "vessels"
  | "pours"
>;
export type PressureNow = BoilPlan["pressure"];

const freshMs = 2 * msPerHour;
const standardPa = 101_325;
const usualSapBrix = 2;
const usualSapTempC = 4;

// How far off each may be, Pa: a hobby barometer 1 hPa (BME280 data sheet); a report reduced with standard air; the
// weather's swing about the mean; and 500 m of height that nobody told.
const spreadPa = { typed: 100, board: 100, report: 300, altitude: 1500, standard: 6000 } as const;

/** The zone of the yard; UTC until somebody has set one. */
export function zoneNow({ watch }: Pick<HttpParts, "watch">): string {
  const zone = watch.yardView().yard.timeZone;
  return zone !== null && isTimeZone(zone) ? zone : "UTC";
}

type Told = {
  pressurePa?: number | undefined;
  seaLevelPa?: number | undefined;
  altitudeM?: number | undefined;
};

/** The air's pressure at the pan from the best that is known: typed, a board's barometer, a report, the altitude. */
export function pressureNow(parts: KitchenParts, told: Told = {}): PressureNow {
  const unheard = { board: null, heardMs: null };
  if (told.pressurePa !== undefined) {
    return { pressurePa: told.pressurePa, from: "typed", ...unheard, spreadPa: spreadPa.typed };
  }
  const heard = told.seaLevelPa === undefined ? heardPressure(parts) : undefined;
  if (heard !== undefined) return heard;
  const { yard } = parts.watch.yardView();
  const altitudeM = told.altitudeM ?? yard.altitudeM;
  const seaLevelPa = told.seaLevelPa ?? freshReport(parts);
  const from = sourceOf(seaLevelPa, altitudeM);
  const pressurePa = stationPressurePa({
    seaLevelPressurePa: seaLevelPa ?? standardPa,
    altitudeM: altitudeM ?? 0,
  });
  return { pressurePa, from, ...unheard, spreadPa: spreadPa[from] };
}

function sourceOf(seaLevelPa: number | undefined, altitudeM: number | null) {
  if (altitudeM === null) return "standard";
  return seaLevelPa === undefined ? "altitude" : "report";
}

function heardPressure({ watch, readings, clock }: KitchenParts): PressureNow | undefined {
  const nowMs = clock.nowMs();
  const heard = watch
    .yardView()
    .boards.map(({ name }) =>
      readings.latestValue({ board: name, quantity: "pressure", atMs: nowMs }),
    )
    .filter((value) => value !== undefined)
    .filter(({ atMs }) => nowMs - atMs <= freshMs)
    .toSorted((one, other) => other.atMs - one.atMs)[0];
  if (heard === undefined) return undefined;
  const { value, board, atMs } = heard;
  return { pressurePa: value, from: "board", board, heardMs: atMs, spreadPa: spreadPa.board };
}

/** A report of sea-level pressure holds for a day. */
function freshReport({ boilSettings, clock }: KitchenParts): number | undefined {
  const { seaLevelPa, seaLevelAtMs } = boilSettings.setup();
  if (seaLevelPa === null || seaLevelAtMs === null) return undefined;
  return clock.nowMs() - seaLevelAtMs <= msPerDay ? seaLevelPa : undefined;
}

/** What a pressure is known by. Two of one basis differ by the weather alone. */
export function basisOf(
  { from, board }: PressureNow,
  { watch }: Pick<KitchenParts, "watch">,
): string {
  if (from === "board") return `board ${board}`;
  if (from === "typed" || from === "standard") return from;
  return `${from} ${watch.yardView().yard.altitudeM}`;
}

/** What the thermometer showed in boiling water last, and whether that was on another day. */
export function thermometerNow(parts: KitchenParts, told: Told = {}): ThermometerCheck | null {
  const zero = parts.boilSettings.latestZero();
  return zero === undefined ? null : checkFrom(parts, zero, pressureNow(parts, told));
}

/**
 * How far the thermometer is off. Where the pressure has come to be known by something else since (an altitude that was
 * not set, a barometer), the pressure of then is taken to have been that of now: the water boiled in the same place.
 */
export function checkFrom(
  parts: KitchenParts,
  zero: ZeroReading,
  now: PressureNow,
): ThermometerCheck {
  const timeZone = zoneNow(parts);
  const { atMs, readingC } = zero;
  const pressurePa = zero.basis === basisOf(now, parts) ? zero.pressurePa : now.pressurePa;
  const boilingC = waterBoilingTempC(pressurePa);
  const dayOf = (atMs: number) => localParts(atMs, timeZone).dayKey;
  return {
    ...{ atMs, readingC, pressurePa },
    waterBoilingTempC: boilingC,
    offsetC: readingC - boilingC,
    old: dayOf(atMs) !== dayOf(parts.clock.nowMs()),
  };
}

export type SapNow = {
  volumeL: number;
  tempC: number;
  boilByMs: number | null;
  places: BoilPlan["sap"]["places"];
};

type Place = SapNow["places"][number] & { tempC: number };

/** All the sap that waits: in vessels, the one to be used first before the others, and in buckets. */
export function sapInHand(view: YardView): SapNow {
  const places = [...vesselPlaces(view), ...bucketPlaces(view)];
  const volumeL = places.reduce((sum, place) => sum + place.volumeL, 0);
  const warmth = places.reduce((sum, place) => sum + place.volumeL * place.tempC, 0);
  const deadlines = places.map(({ boilByMs }) => boilByMs).filter((atMs) => atMs !== null);
  return {
    volumeL,
    tempC: volumeL === 0 ? usualSapTempC : warmth / volumeL,
    boilByMs: deadlines.length === 0 ? null : Math.min(...deadlines),
    places: places.map(({ tempC: _, ...place }) => place),
  };
}

function vesselPlaces({ vessels }: YardView): Place[] {
  return vessels
    .filter(({ parked, volumeL }) => !parked && volumeL > 0)
    .toSorted((one, other) => Number(other.useFirst) - Number(one.useFirst))
    .map(({ id, label, volumeL, keeping, tempC }) => ({
      kind: "vessel" as const,
      id,
      label,
      volumeL,
      boilByMs: keeping?.boilByMs ?? null,
      tempC: keeping?.sapTempC ?? tempC ?? usualSapTempC,
    }));
}

function bucketPlaces({ buckets }: YardView): Place[] {
  return buckets
    .filter(({ role, state }) => role === "sap" && state !== "parked")
    .filter(({ volumeL }) => (volumeL ?? 0) > 0)
    .map(({ id, label, volumeL, keeping }) => ({
      kind: "bucket" as const,
      id,
      label,
      volumeL: volumeL ?? 0,
      boilByMs: keeping?.boilByMs ?? null,
      tempC: keeping?.sapTempC ?? usualSapTempC,
    }));
}

/** Sugar of the yard's sap by the trees' readings, weighted with what each gave; else the usual 2 %. */
export function sapBrixNow({ watch, clock }: KitchenParts) {
  const { firstReadingMs } = watch.yardView().season;
  const toMs = clock.nowMs();
  const { trees } = watch.compare({ fromMs: Math.min(firstReadingMs ?? toMs, toMs), toMs });
  const read = trees.filter(({ sugarBrix, volumeL }) => sugarBrix !== null && volumeL > 0);
  const volumeL = read.reduce((sum, tree) => sum + tree.volumeL, 0);
  if (volumeL === 0) return { brix: usualSapBrix, brixFrom: "usual" as const };
  const sugar = read.reduce((sum, tree) => sum + tree.volumeL * (tree.sugarBrix ?? 0), 0);
  return { brix: sugar / volumeL, brixFrom: "trees" as const };
}

/** What all boils so far say of pan and fire. */
export function recordNow(
  { boils, clock }: KitchenParts,
  fire: Pick<BoilSetup, "fuel" | "arch">,
): PanRecord {
  const ended = boils
    .list({ fromMs: 0, toMs: clock.nowMs() + 1 })
    .filter(({ endedMs }) => endedMs !== null)
    .map((boil) => ({ ...boil, ...accountOfBoil(boil) }));
  return panRecordOf(ended, fire);
}

/** The next time it is that time of day. */
export function nextTimeOfDayMs(nowMs: number, timeOfDay: string, timeZone: string): number {
  const today = msAtLocalTime(nowMs, timeOfDay, timeZone);
  return today > nowMs ? today : msAtLocalTime(today + msPerDay, timeOfDay, timeZone);
}
