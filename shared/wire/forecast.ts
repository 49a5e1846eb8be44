// What a forecaster's SenML pack says about the hours to come.
import { type Parsed, parsed } from "../parsed.ts";
import { dateText, inUnit, parseJson, quoted, temperatureC } from "./record-checks.ts";
import { type Refusal, resolveSenml, type SenmlRecord } from "./senml.ts";

export type ForecastHour = {
  atMs: number;
  airC: number | undefined;
  /** 0-100. */
  cloudPercent: number | undefined;
};

export type Forecast = { hours: ForecastHour[]; refusals: Refusal[] };

const furthestAheadMs = 17 * 86_400_000;
/** Each quarter of an hour so far ahead. */
const mostTimes = 17 * 96;

/** Reads `forecast/air` (Cel or K) and `forecast/cloud` (%), in order of time; times must lie ahead. */
export function parseForecast(text: string, { nowMs }: { nowMs: number }): Parsed<Forecast> {
  const json = parseJson(text);
  if (!json.ok) return json;
  const senml = resolveSenml(json.value, nowMs);
  if (!senml.ok) return senml;
  const byTime = new Map<number, ForecastHour>();
  const { records, refusals } = senml.value;
  for (const record of records) {
    const problem =
      timeProblem(record.atMs, nowMs) ??
      roomProblem(byTime, record.atMs) ??
      takeRecord(byTime, record);
    if (problem !== undefined) refusals.push({ record: record.name.slice(0, 80), reason: problem });
  }
  const hours = [...byTime.values()].sort((a, b) => a.atMs - b.atMs);
  return parsed({ hours, refusals });
}

function timeProblem(atMs: number, nowMs: number): string | undefined {
  // The hour that is running is part of an outlook.
  if (atMs >= nowMs - 3_600_000 && atMs <= nowMs + furthestAheadMs) return undefined;
  return `forecast time requires 1 h ago to 17 days ahead, got ${dateText(atMs)}`;
}

function roomProblem(byTime: ReadonlyMap<number, unknown>, atMs: number): string | undefined {
  if (byTime.has(atMs) || byTime.size < mostTimes) return undefined;
  return `forecast requires at most ${mostTimes} times, got another: ${dateText(atMs)}`;
}

function takeRecord(byTime: Map<number, ForecastHour>, record: SenmlRecord): string | undefined {
  const isAir = record.name === "forecast/air";
  if (!isAir && record.name !== "forecast/cloud") {
    return `name requires forecast/air or forecast/cloud, got ${quoted(record.name)}`;
  }
  const value = isAir ? temperatureC(record, record.name) : cloudPercent(record);
  if (!value.ok) return value.problem;
  const { atMs } = record;
  const hour = byTime.get(atMs) ?? { atMs, airC: undefined, cloudPercent: undefined };
  byTime.set(atMs, { ...hour, [isAir ? "airC" : "cloudPercent"]: value.value });
  return undefined;
}

function cloudPercent(record: SenmlRecord): Parsed<number> {
  const value = inUnit(record, record.name, { "%": 1 });
  if (!value.ok || (value.value >= 0 && value.value <= 100)) return value;
  return { ok: false, problem: `${record.name} requires 0 to 100 %, got ${value.value}` };
}
