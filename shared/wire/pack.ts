// What a board's SenML pack says in this yard's terms: masses, temperatures, faults, each checked by itself.
import { type Parsed, parsed } from "../parsed.ts";
import {
  inUnit,
  parseJson,
  pastTimeProblem,
  quoted,
  temperatureC,
  valueText,
} from "./record-checks.ts";
import { type Refusal, resolveSenml, type SenmlRecord } from "./senml.ts";
import { isName } from "./topics.ts";

export type MassReading = {
  cell: string;
  atMs: number;
  massG: number;
  spreadG: number | undefined;
  counts: number | undefined;
};
export type TemperatureReading = { probe: string; atMs: number; tempC: number };
export type CellFault = "absent" | "saturated" | "stuck" | "uncalibrated";
export type FaultReport = { cell: string; atMs: number; fault: CellFault };
/** Pressure in Pa, supply in V. */
export type BoardValue = { quantity: "pressure" | "supply"; atMs: number; value: number };

export type Pack = {
  /** Both or neither: a home-made publisher may leave them out. */
  spool: string | undefined;
  batch: number | undefined;
  /** How many numbers before `batch` the board has given up. */
  skipped: number;
  /** Latest time that any record states, one refused for it among them. */
  newestMs: number | undefined;
  masses: MassReading[];
  temperatures: TemperatureReading[];
  values: BoardValue[];
  faults: FaultReport[];
  refusals: Refusal[];
};

/** Largest payload that is looked at; about 4,000 records. */
export const mostPackBytes = 256 * 1024;

const mostMassG = 1_000_000;
/** More than a board that sends one batch a second for a season can ever give up at once. */
const mostSkipped = 10_000_000;
const faults: readonly string[] = ["absent", "saturated", "stuck", "uncalibrated"];
const spoolPattern = /^[A-Za-z0-9._-]{1,64}$/;

type Draft = Pack & {
  board: string;
  nowMs: number;
  /** Spreads and counts, which join the mass of the same cell and time at the end. */
  companions: { record: SenmlRecord; cell: string; kind: "spread" | "counts"; value: number }[];
};

/**
 * Reads what `board` published. Refuses what isn't JSON or SenML as a whole; a record that is wrong
 * by itself goes to `refusals`, with what was expected and what came.
 */
export function parsePack(text: string, { board, nowMs }: PackContext): Parsed<Pack> {
  const json = parseJson(text);
  if (!json.ok) return json;
  const senml = resolveSenml(json.value, nowMs);
  if (!senml.ok) return senml;
  const draft = createDraft(board, nowMs, senml.value.refusals);
  for (const record of senml.value.records) takeRecord(draft, record);
  joinCompanions(draft);
  if (draft.batch === undefined) Object.assign(draft, salvageNumbering(json.value));
  checkNumbering(draft);
  const { board: _board, nowMs: _nowMs, companions: _companions, ...pack } = draft;
  return parsed(pack);
}

export type PackContext = { board: string; nowMs: number };

function createDraft(board: string, nowMs: number, refusals: Refusal[]): Draft {
  return {
    board,
    nowMs,
    spool: undefined,
    batch: undefined,
    skipped: 0,
    newestMs: undefined,
    masses: [],
    temperatures: [],
    values: [],
    faults: [],
    refusals,
    companions: [],
  };
}

function takeRecord(draft: Draft, record: SenmlRecord): void {
  const problem = takeNamed(draft, record);
  if (problem !== undefined) refuse(draft, record, problem);
}

function refuse(draft: Draft, record: SenmlRecord, reason: string): void {
  draft.refusals.push({ record: record.name.slice(0, 80), reason });
}

/** Returns the problem, undefined when the record was taken. */
function takeNamed(draft: Draft, record: SenmlRecord): string | undefined {
  const slash = record.name.indexOf("/");
  if (slash !== draft.board.length || !record.name.startsWith(draft.board)) {
    return `name requires ${draft.board}/ in front, got ${quoted(record.name)}`;
  }
  const name = record.name.slice(slash + 1);
  if (name === "batch" || name === "spool" || name === "skipped") {
    return takeNumbering(draft, name, record);
  }
  draft.newestMs = Math.max(draft.newestMs ?? record.atMs, record.atMs);
  const timeProblem = pastTimeProblem(record.atMs, draft.nowMs);
  if (timeProblem !== undefined) return timeProblem;
  if (name === "pressure" || name === "supply") return takeBoardValue(draft, name, record);
  if (name.startsWith("probe/")) return takeTemperature(draft, name.slice(6), record);
  return takeCell(draft, name, record);
}

function takeNumbering(
  draft: Draft,
  name: "batch" | "spool" | "skipped",
  record: SenmlRecord,
): string | undefined {
  if (name === "spool") {
    if (record.text === undefined || !spoolPattern.test(record.text)) {
      return `spool requires vs with 1 to 64 letters, digits or . _ -, got ${valueText(record)}`;
    }
    draft.spool = record.text;
    return undefined;
  }
  const least = name === "batch" ? 1 : 0;
  const number = inUnit(record, name, { count: 1 });
  if (!number.ok) return number.problem;
  if (!isWholeFrom(least, number.value)) {
    return `${name} requires a whole number from ${least}, got ${number.value}`;
  }
  draft[name] = number.value;
  return undefined;
}

function takeBoardValue(
  draft: Draft,
  quantity: "pressure" | "supply",
  record: SenmlRecord,
): string | undefined {
  const isPressure = quantity === "pressure";
  const value = inUnit(record, quantity, isPressure ? { Pa: 1 } : { V: 1 });
  if (!value.ok) return value.problem;
  // Air: from the top of the highest mountain to above the highest pressure ever measured.
  const [low, high] = isPressure ? [30_000, 115_000] : [0, 100];
  if (value.value < low || value.value > high) {
    return `${quantity} requires ${low} to ${high} ${isPressure ? "Pa" : "V"}, got ${value.value}`;
  }
  draft.values.push({ quantity, atMs: record.atMs, value: value.value });
  return undefined;
}

function takeTemperature(draft: Draft, probe: string, record: SenmlRecord): string | undefined {
  if (!isProbeName(probe)) return nameProblem("probe", probe);
  const tempC = temperatureC(record, `probe/${probe}`);
  if (!tempC.ok) return tempC.problem;
  draft.temperatures.push({ probe, atMs: record.atMs, tempC: tempC.value });
  return undefined;
}

/** "air", "sap-cell-1" or another; four longer than a cell's name for the "sap-" in front. */
function isProbeName(text: string): boolean {
  return isName(text) || (text.startsWith("sap-") && isName(text.slice(4)));
}

function takeCell(draft: Draft, name: string, record: SenmlRecord): string | undefined {
  const slash = name.indexOf("/");
  const cell = name.slice(0, slash);
  const quantity = name.slice(slash + 1);
  if (slash < 0) {
    return `name requires <cell>/mass, probe/<name>, pressure or supply, got ${quoted(name)}`;
  }
  if (!isName(cell) || cell === "probe") return nameProblem("cell", cell);
  switch (quantity) {
    case "mass":
      return takeMass(draft, cell, record);
    case "fault":
      return takeFault(draft, cell, record);
    case "spread":
    case "counts":
      return takeCompanion(draft, { cell, kind: quantity, record });
    default:
      return `name requires mass, spread, counts or fault of a cell, got ${quoted(quantity)}`;
  }
}

function takeMass(draft: Draft, cell: string, record: SenmlRecord): string | undefined {
  const mass = inUnit(record, "mass", { kg: 1000, g: 1 });
  if (!mass.ok) return mass.problem;
  if (Math.abs(mass.value) > mostMassG) {
    return `mass requires at most 1000 kg, got ${mass.value / 1000} kg`;
  }
  const massG = mass.value;
  draft.masses.push({ cell, atMs: record.atMs, massG, spreadG: undefined, counts: undefined });
  return undefined;
}

function takeFault(draft: Draft, cell: string, record: SenmlRecord): string | undefined {
  if (record.text === undefined || !faults.includes(record.text)) {
    return `fault requires vs with ${faults.join(", ")}, got ${valueText(record)}`;
  }
  draft.faults.push({ cell, atMs: record.atMs, fault: record.text as CellFault });
  return undefined;
}

function takeCompanion(
  draft: Draft,
  { cell, kind, record }: { cell: string; kind: "spread" | "counts"; record: SenmlRecord },
): string | undefined {
  const value = inUnit(record, kind, kind === "spread" ? { kg: 1000, g: 1 } : { count: 1 });
  if (!value.ok) return value.problem;
  if (kind === "spread" && (value.value < 0 || value.value > mostMassG)) {
    return `spread requires 0 to 1000 kg, got ${value.value / 1000} kg`;
  }
  if (kind === "counts" && Math.abs(value.value) > 2 ** 31) {
    return `counts requires at most 32 bits, got ${value.value}`;
  }
  draft.companions.push({ record, cell, kind, value: value.value });
  return undefined;
}

export type Numbering = { spool: string; batch: number; skipped: number };

/**
 * Batch and spool of a pack that is refused otherwise, whatever name stands before them, so that it
 * can be settled and isn't sent again for ever. Undefined when they can't be read.
 */
export function salvageNumbering(raw: unknown): Numbering | undefined {
  if (!Array.isArray(raw)) return undefined;
  const find = (name: string) => raw.find((one) => isNamed(one, name)) as RawNumber | undefined;
  const spool = find("spool")?.vs;
  const batch = find("batch")?.v;
  const skipped = find("skipped")?.v;
  if (typeof spool !== "string" || !spoolPattern.test(spool)) return undefined;
  if (!isWholeFrom(1, batch)) return undefined;
  return {
    spool,
    batch,
    skipped: isWholeFrom(0, skipped) && isSkippable(skipped, batch) ? skipped : 0,
  };
}

/** One wrong number must not settle all that a board will ever send. */
function isSkippable(skipped: number, batch: number): boolean {
  return skipped < batch && skipped < mostSkipped;
}

type RawNumber = { v?: unknown; vs?: unknown };

function isNamed(record: unknown, name: string): boolean {
  const n = (record as { n?: unknown } | null)?.n;
  return typeof n === "string" && (n === name || n.endsWith(`/${name}`));
}

function isWholeFrom(least: number, value: unknown): value is number {
  return Number.isSafeInteger(value) && (value as number) >= least;
}

function joinCompanions(draft: Draft): void {
  if (draft.companions.length === 0) return;
  const byCellAndTime = new Map(draft.masses.map((mass) => [`${mass.cell} ${mass.atMs}`, mass]));
  for (const { record, cell, kind, value } of draft.companions) {
    const mass = byCellAndTime.get(`${cell} ${record.atMs}`);
    if (mass === undefined) {
      refuse(draft, record, `${kind} requires a mass of the same cell and time, got none`);
    } else if (kind === "spread") {
      mass.spreadG = value;
    } else {
      mass.counts = Math.round(value);
    }
  }
}

function checkNumbering(draft: Draft): void {
  const { batch, spool, skipped } = draft;
  if ((batch === undefined) !== (spool === undefined)) {
    const [has, lacks] = batch === undefined ? ["spool", "batch"] : ["batch", "spool"];
    draft.refusals.push({ record: has, reason: `${has} requires ${lacks} beside it, got none` });
    draft.batch = undefined;
    draft.spool = undefined;
  }
  if (draft.batch !== undefined && !isSkippable(skipped, draft.batch)) {
    const reason = `skipped requires less than the batch number ${batch} and ${mostSkipped}, got ${skipped}`;
    draft.refusals.push({ record: "skipped", reason });
    draft.skipped = 0;
  }
}

function nameProblem(kind: "probe" | "cell", got: string): string {
  return `${kind} requires a name of up to 32 of a-z 0-9 -, got ${quoted(got)}`;
}
