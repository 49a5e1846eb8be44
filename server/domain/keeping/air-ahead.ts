// The air temperature to expect: a forecast where there is one, else the last day's at the same hour.
import { msPerDay, msPerHour } from "../../../shared/units.ts";
import { mean } from "../middle.ts";

/** The last air temperature heard in each hour of the day (UTC); null where none was. */
export type AirDay = { hourlyC: (number | null)[]; lastAtMs: number | null; lastC: number | null };

export type AirPoint = { atMs: number; airC: number };

const hoursPerDay = 24;

export function startAirDay(): AirDay {
  return { hourlyC: new Array<null>(hoursPerDay).fill(null), lastAtMs: null, lastC: null };
}

/** The day with one more air temperature; one that is older than the last is left out. */
export function addAir(day: AirDay, { atMs, airC }: AirPoint): AirDay {
  if (day.lastAtMs !== null && atMs < day.lastAtMs) {
    return day;
  }
  const rounded = Math.round(airC * 100) / 100;
  const forgotten = day.lastAtMs !== null && atMs - day.lastAtMs > msPerDay;
  const hourlyC = forgotten ? startAirDay().hourlyC : [...day.hourlyC];
  hourlyC[hourOf(atMs)] = rounded;
  return { hourlyC, lastAtMs: atMs, lastC: rounded };
}

/**
 * The air temperature to expect at an instant ahead, or null when no air was ever heard and no
 * forecast is given. Past the forecast's end the days repeat.
 */
export function createAirAhead(
  day: AirDay,
  forecast: readonly AirPoint[] = [],
): ((atMs: number) => number) | null {
  const points = [...forecast].sort((a, b) => a.atMs - b.atMs);
  const sameHour = sameHourOf(day);
  if (sameHour === null && points.length === 0) {
    return null;
  }
  return (atMs) => between(points, atMs) ?? sameHour?.(atMs) ?? nearest(points, atMs);
}

function sameHourOf(day: AirDay): ((atMs: number) => number) | null {
  const known = day.hourlyC.filter((airC) => airC !== null);
  if (known.length === 0) {
    return null;
  }
  const meanC = mean(known);
  return (atMs) => day.hourlyC[hourOf(atMs)] ?? meanC;
}

function between(points: readonly AirPoint[], atMs: number): number | null {
  const index = points.findIndex((point) => point.atMs >= atMs);
  const after = points[index];
  if (after === undefined) {
    return null;
  }
  const before = points[index - 1];
  if (before === undefined) {
    return after.atMs === atMs ? after.airC : null;
  }
  const part = (atMs - before.atMs) / (after.atMs - before.atMs);
  return before.airC + (after.airC - before.airC) * part;
}

/** Only a forecast is known: outside it, the same hour of its nearest day, or its nearest point. */
function nearest(points: readonly AirPoint[], atMs: number): number {
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined) {
    throw new Error("air ahead requires a forecast or an air temperature, got neither");
  }
  if (atMs < first.atMs) {
    return first.airC;
  }
  const days = Math.ceil((atMs - last.atMs) / msPerDay);
  return between(points, atMs - days * msPerDay) ?? last.airC;
}

function hourOf(atMs: number): number {
  return Math.floor(atMs / msPerHour) % hoursPerDay;
}
