// One file of an outbox: batches numbered without gaps from the one in its name, one a line.
import { closeSync, openSync, readFileSync, readSync } from "node:fs";
import { type KeptBatch, parseLine } from "./outbox-line.ts";

export type Segment = {
  path: string;
  /** Number of its first batch. */
  first: number;
  /** Time of the newest reading in its first batch; all in the segment before it is older. */
  beginMs: number;
  bytes: number;
  /** Thinned from all numbers since this one; undefined for one as it was written. */
  thinnedFrom?: number;
};

export type Place = { offset: number; length: number };

export type ScannedSegment = {
  /** Where each sound batch lies. */
  index: Map<number, Place>;
  /** Number of its last whole line, sound or damaged; first - 1 when it has none. */
  last: number;
  /** Time of its newest sound batch; undefined when it has none. */
  untilMs: number | undefined;
  /** Bytes up to the end of the last whole line; what follows was torn while it was written. */
  wholeBytes: number;
};

const lineEnd = 0x0a;

/**
 * Reads a segment through. A whole line that is damaged keeps its number, as it may have been sent;
 * a torn one at the end never was, for a batch is sent only once it is safely on disk.
 */
export function scanSegment({ path, first }: Pick<Segment, "path" | "first">): ScannedSegment {
  const content = readFileSync(path);
  const index = new Map<number, Place>();
  let untilMs: number | undefined;
  let batch = first;
  let offset = 0;
  let end = content.indexOf(lineEnd);
  while (end !== -1) {
    const kept = parseLine(content.toString("utf8", offset, end));
    if (kept?.batch === batch) {
      index.set(batch, { offset, length: end - offset });
      untilMs = Math.max(untilMs ?? kept.untilMs, kept.untilMs);
    }
    batch += 1;
    offset = end + 1;
    end = content.indexOf(lineEnd, offset);
  }
  return { index, last: batch - 1, untilMs, wholeBytes: offset };
}

/** The batch at a place; undefined when it is damaged. */
export function readBatch(path: string, { offset, length }: Place): KeptBatch | undefined {
  const file = openSync(path, "r");
  try {
    const bytes = Buffer.alloc(length);
    const read = readSync(file, bytes, 0, length, offset);
    return parseLine(bytes.toString("utf8", 0, read));
  } finally {
    closeSync(file);
  }
}

const namePattern = /^(\d{12})-(\d{1,16})(?:-thin-(\d{12}))?\.ndjson$/;
const twelve = (number: number): string => String(number).padStart(12, "0");

type NameParts = Pick<Segment, "first" | "beginMs" | "thinnedFrom">;

export function formatSegmentName({ first, beginMs, thinnedFrom }: NameParts): string {
  const thin = thinnedFrom === undefined ? "" : `-thin-${twelve(thinnedFrom)}`;
  return `${twelve(first)}-${Math.max(0, Math.round(beginMs))}${thin}.ndjson`;
}

/** Undefined for any other file. */
export function parseSegmentName(name: string): NameParts | undefined {
  const [, first, beginMs, thinnedFrom] = namePattern.exec(name) ?? [];
  if (first === undefined || beginMs === undefined) return undefined;
  const thin = thinnedFrom === undefined ? {} : { thinnedFrom: Number(thinnedFrom) };
  return { first: Number(first), beginMs: Number(beginMs), ...thin };
}
