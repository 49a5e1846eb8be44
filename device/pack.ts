// What one batch says on the wire: SenML records (RFC 8428) of some windows and their surroundings.
import type { FaultWindow, Reading } from "./scale/sampler.ts";
import type { Surroundings } from "./source.ts";

export type SenmlRecord = {
  n: string;
  u?: string;
  t?: number;
  v?: number;
  vs?: string;
};

/** The content of a batch as the outbox keeps it; number, spool and skipped join it on sending. */
export type BatchBody = {
  /** Time of the newest record. */
  untilMs: number;
  /** Seconds since the epoch that the records' `t` are added to. */
  baseS: number;
  records: SenmlRecord[];
  /** Made while the clock wasn't believed: by how much its times are ahead of that start's uptime and of that clock. */
  undated?: { boot: string; aheadMs: number; aheadOfClockMs?: number };
};

export type TimedSurroundings = Surroundings & { atMs: number };

export type Observed = {
  readings: readonly (Reading | FaultWindow)[];
  surroundings: readonly TimedSurroundings[];
};

export function batchBodyFrom({ readings, surroundings }: Observed): BatchBody | undefined {
  const times = [...readings, ...surroundings].map(({ atMs }) => atMs);
  if (times.length === 0) return undefined;
  const baseS = Math.floor(Math.min(...times) / 1000);
  const t = (atMs: number) => Math.round(atMs - baseS * 1000) / 1000;
  const records = [
    ...readings.flatMap((reading) => readingRecords(reading, t(reading.atMs))),
    ...surroundings.flatMap((now) => surroundingRecords(now, t(now.atMs))),
  ];
  return { untilMs: Math.max(...times), baseS, records };
}

function readingRecords(reading: Reading | FaultWindow, t: number): SenmlRecord[] {
  if ("fault" in reading) return [{ n: `${reading.cell}/fault`, t, vs: reading.fault }];
  const { cell, massKg, spreadKg, counts } = reading;
  return [
    { n: `${cell}/mass`, u: "kg", t, v: round(massKg, 4) },
    { n: `${cell}/spread`, u: "kg", t, v: round(spreadKg, 4) },
    { n: `${cell}/counts`, u: "count", t, v: counts },
  ];
}

function surroundingRecords(now: Surroundings, t: number): SenmlRecord[] {
  const records: SenmlRecord[] = [];
  if (now.airC !== undefined) records.push({ n: "probe/air", u: "Cel", t, v: now.airC });
  if (now.pressurePa !== undefined) records.push({ n: "pressure", u: "Pa", t, v: now.pressurePa });
  if (now.supplyV !== undefined) records.push({ n: "supply", u: "V", t, v: now.supplyV });
  return records;
}

function round(value: number, digits: number): number {
  const scale = 10 ** digits;
  return Math.round(value * scale) / scale;
}

export type PackHead = {
  board: string;
  spool: string;
  batch: number;
  /** Numbers before this one that are given up. */
  skipped: number;
};

/** The payload on `readings`, as JSON text. */
export function formatPack(head: PackHead, body: BatchBody): string {
  const first = { bn: `${head.board}/`, bt: body.baseS, n: "batch", u: "count", v: head.batch };
  const skipped = head.skipped > 0 ? [{ n: "skipped", u: "count", v: head.skipped }] : [];
  return JSON.stringify([first, { n: "spool", vs: head.spool }, ...skipped, ...body.records]);
}
