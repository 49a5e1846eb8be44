// The checks that every SenML record of the yard goes through: JSON, unit, number, time.
import { type Parsed, parsed, refused } from "../parsed.ts";
import { cFromKelvin, gFromKg, msPerHour } from "../units.ts";
import type { SenmlRecord } from "./senml.ts";

export const latestAheadMs = msPerHour;
const earliestMs = Date.UTC(2000, 0, 1);

export function parseJson(text: string): Parsed<unknown> {
  try {
    return parsed(JSON.parse(text));
  } catch (error) {
    const why = error instanceof Error ? error.message : "";
    return refused(`payload requires JSON, got: ${why.slice(0, 120)}`);
  }
}

/** What is wrong with the time of a measurement; undefined when nothing is. */
export function pastTimeProblem(atMs: number, nowMs: number): string | undefined {
  if (atMs > nowMs + latestAheadMs) {
    return `time requires at most 1 h ahead of the server's clock, got ${dateText(atMs)}`;
  }
  if (atMs < earliestMs) return `time requires the year 2000 or later, got ${dateText(atMs)}`;
  return undefined;
}

export function dateText(atMs: number): string {
  return new Date(atMs).toISOString();
}

/** A temperature in Cel or K, -90 to 150 Cel. */
export function temperatureC(record: SenmlRecord, subject: string): Parsed<number> {
  const value = inUnit(record, subject, { Cel: 1, K: 1 });
  if (!value.ok) return value;
  const tempC = record.unit === "K" ? cFromKelvin(value.value) : value.value;
  if (tempC < -90 || tempC > 150) {
    return refused(`${subject} requires -90 to 150 Cel, got ${value.value} ${record.unit}`);
  }
  return parsed(tempC);
}

/** A number in the first of the units given, times the factor of the unit it came in. */
export function inUnit(
  record: SenmlRecord,
  subject: string,
  factors: Record<string, number>,
): Parsed<number> {
  const factor = record.unit === undefined ? undefined : factors[record.unit];
  if (factor === undefined || !Object.hasOwn(factors, record.unit ?? "")) {
    const expected = Object.keys(factors).join(" or ");
    return refused(`${subject} requires unit ${expected}, got ${quoted(record.unit)}`);
  }
  if (record.value === undefined || !Number.isFinite(record.value)) {
    return refused(`${subject} requires a number in v, got ${valueText(record)}`);
  }
  return parsed(factor === 1000 ? gFromKg(record.value) : record.value);
}

export function valueText(record: SenmlRecord): string {
  const value = record.value ?? record.text ?? record.flag ?? record.data;
  return typeof value === "string" ? quoted(value) : String(value ?? "none");
}

export function quoted(text: string | undefined): string {
  return text === undefined ? "none" : `"${text.slice(0, 60)}"`;
}
