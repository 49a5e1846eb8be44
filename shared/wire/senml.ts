// Reads a SenML pack (RFC 8428, JSON) into resolved records, knowing nothing of units or names.
import { z } from "zod";
import { type Parsed, parsed, refused } from "../parsed.ts";

/** One record with the base fields applied (RFC 8428 section 4.6), in the order of the pack. */
export type SenmlRecord = {
  name: string;
  unit: string | undefined;
  atMs: number;
  value: number | undefined;
  text: string | undefined;
  flag: boolean | undefined;
  /** base64url, as it came. */
  data: string | undefined;
  sum: number | undefined;
};

export type Refusal = { record: string; reason: string };

export type Senml = { records: SenmlRecord[]; refusals: Refusal[] };

const senmlVersion = 10;
/** Times below this many seconds are relative to now (RFC 8428 section 4.5.3). */
const relativeBelowS = 2 ** 28;
const mostMs = 8.64e15;

const baseLabels = ["bver", "bn", "bt", "bu", "bv", "bs"] as const;
const regularLabels = ["n", "u", "v", "vs", "vb", "vd", "s", "t", "ut"] as const;

const recordSchema = z.object({
  bver: z.int().min(1).optional(),
  bn: z.string().optional(),
  bt: z.number().optional(),
  bu: z.string().optional(),
  bv: z.number().optional(),
  bs: z.number().optional(),
  n: z.string().optional(),
  u: z.string().optional(),
  v: z.number().optional(),
  vs: z.string().optional(),
  vb: z.boolean().optional(),
  vd: z.base64url().optional(),
  s: z.number().optional(),
  t: z.number().optional(),
  ut: z.number().optional(),
});
const packSchema = z.array(recordSchema).min(1);

type RawRecord = z.infer<typeof recordSchema>;
type Base = { version: number; name: string; timeS: number; unit: string | undefined } & {
  value: number | undefined;
  sum: number | undefined;
};

/**
 * Resolves a pack as JSON.parse gave it. A record that is wrong by itself is left out and told in
 * `refusals`; what later records stand on (base fields, version, "_" labels) refuses the pack.
 */
export function resolveSenml(raw: unknown, nowMs: number): Parsed<Senml> {
  if (!Array.isArray(raw) || raw.length === 0) {
    return refused(`SenML pack requires an array of records, got ${kindOf(raw)}`);
  }
  const unknownLabel = findMustUnderstand(raw);
  if (unknownLabel !== undefined) {
    return refused(`SenML pack requires labels this program understands, got "${unknownLabel}"`);
  }
  const whole = packSchema.safeParse(raw);
  if (whole.success) return resolveRecords(whole.data, nowMs, []);
  return resolveOneByOne(raw, nowMs);
}

/** RFC 8428 section 4.4: a label ending with "_" that isn't understood is an error. */
function findMustUnderstand(raw: unknown[]): string | undefined {
  for (const record of raw) {
    for (const label in record as object) {
      if (label.charCodeAt(label.length - 1) === 95) return label.slice(0, 40);
    }
  }
  return undefined;
}

function resolveOneByOne(raw: unknown[], nowMs: number): Parsed<Senml> {
  const sound: RawRecord[] = [];
  const refusals: Refusal[] = [];
  for (const [index, record] of raw.entries()) {
    const one = recordSchema.safeParse(record);
    if (one.success) {
      sound.push(one.data);
      continue;
    }
    const issue = one.error.issues[0];
    const label = String(issue?.path[0] ?? "");
    const problem = `${label || "record"} requires ${issue?.message ?? "another type"}`;
    if (label === "" || baseLabels.some((base) => Object.hasOwn(record as object, base))) {
      return refused(`SenML record ${index + 1}: ${problem}`);
    }
    refusals.push({ record: recordName(record, index), reason: problem });
  }
  return resolveRecords(sound, nowMs, refusals);
}

function recordName(record: unknown, index: number): string {
  const name = (record as { n?: unknown }).n;
  return typeof name === "string" ? name.slice(0, 80) : `record ${index + 1}`;
}

function resolveRecords(raw: RawRecord[], nowMs: number, refusals: Refusal[]): Parsed<Senml> {
  const base: Base = {
    version: raw[0]?.bver ?? senmlVersion,
    name: "",
    timeS: 0,
    unit: undefined,
    value: undefined,
    sum: undefined,
  };
  if (base.version > senmlVersion) {
    return refused(`SenML pack requires version ${senmlVersion} or less, got ${base.version}`);
  }
  const records: SenmlRecord[] = [];
  for (const record of raw) {
    if (record.bver !== undefined && record.bver !== base.version) {
      return refused(`SenML pack requires one version, got ${base.version} and ${record.bver}`);
    }
    applyBase(base, record);
    if (regularLabels.every((label) => record[label] === undefined)) continue;
    const one = resolveRecord(record, base, nowMs);
    if (one.ok) records.push(one.value);
    else refusals.push({ record: shortName(base.name, record.n), reason: one.problem });
  }
  return parsed({ records, refusals });
}

/** Enough of a name to find it by; joined names of a hostile pack could fill the memory. */
function shortName(base: string, own = ""): string {
  return (base.slice(0, 80) + own.slice(0, 80)).slice(0, 80);
}

function applyBase(base: Base, record: RawRecord): void {
  if (record.bn !== undefined) base.name = record.bn;
  if (record.bt !== undefined) base.timeS = record.bt;
  if (record.bu !== undefined) base.unit = record.bu;
  if (record.bv !== undefined) base.value = record.bv;
  if (record.bs !== undefined) base.sum = record.bs;
}

const mostNameLength = 256;
// RFC 8428 section 4.5.1.
const namePattern = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;

function joinedName(base: string, own = ""): Parsed<string> {
  const length = base.length + own.length;
  if (length > mostNameLength) {
    return refused(`name requires at most ${mostNameLength} characters, got ${length}`);
  }
  const name = base + own;
  if (namePattern.test(name)) return parsed(name);
  return refused("name requires letters, digits and - : . / _ with a letter or digit first");
}

function resolveRecord(record: RawRecord, base: Base, nowMs: number): Parsed<SenmlRecord> {
  const joined = joinedName(base.name, record.n);
  if (!joined.ok) return joined;
  const others = Number(record.vs !== undefined) + Number(record.vb !== undefined);
  const kinds = others + Number(record.vd !== undefined) + Number(record.v !== undefined);
  if (kinds > 1) return refused(`value requires one of v vs vb vd, got ${kinds} of them`);
  const value = kinds === 0 || record.v !== undefined ? added(record.v, base.value) : undefined;
  const sum = added(record.s, base.sum);
  if (kinds === 0 && value === undefined && sum === undefined) {
    return refused("value requires one of v vs vb vd, got none");
  }
  const timeS = base.timeS + (record.t ?? 0);
  const atMs = Math.round(timeS < relativeBelowS ? nowMs + timeS * 1000 : timeS * 1000);
  if (!(Math.abs(atMs) <= mostMs)) return refused(`time requires a date, got ${timeS} s`);
  const unit = record.u ?? base.unit;
  const { vs: text, vb: flag, vd: data } = record;
  return parsed({ name: joined.value, unit, atMs, value, text, flag, data, sum });
}

/** RFC 8428 section 4.5.4: a missing one of the two counts as zero, both missing is no value. */
function added(own: number | undefined, base: number | undefined): number | undefined {
  return own === undefined ? base : own + (base ?? 0);
}

function kindOf(raw: unknown): string {
  if (Array.isArray(raw)) return "an empty one";
  return raw === null ? "null" : `a${typeof raw === "object" ? "n object" : ` ${typeof raw}`}`;
}
