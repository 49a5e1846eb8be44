// Holds an outbox within its bounds: kept segments go, unsent ones are thinned first.
import { unlinkSync } from "node:fs";
import { join } from "node:path";
import { replaceFile, syncFolder } from "./durable-file.ts";
import { formatLine } from "./outbox-line.ts";
import { formatSegmentName, readBatch, type Segment, scanSegment } from "./outbox-segment.ts";
import { thinnedBatches } from "./outbox-thin.ts";

export type PruneBounds = { maxAgeMs: number; maxBytes: number };

/** How many batches that the server does not keep were given up. */
export type Pruned = { thinned: number; dropped: number };

export type Pruning = {
  folder: string;
  bounds: PruneBounds;
  /** Oldest first; changed in place. */
  segments: Segment[];
  /** Time of the newest reading. */
  untilMs: number;
  keptThrough: number;
  /** Batches up to this one may be under way. */
  handedOut: number;
};

export function prune(pruning: Pruning): Pruned {
  const { segments, keptThrough } = pruning;
  const pruned = { thinned: 0, dropped: 0 };
  while (segments.length > 1) {
    const tooMuch = isTooMuch(pruning);
    const isKept = lastOf(pruning, 0) <= keptThrough;
    const place = placeToThin(pruning, tooMuch);
    if (isKept && (tooMuch || isTooOld(pruning, 0))) pruned.dropped += dropOldest(pruning);
    else if (place >= 0) pruned.thinned += thin(pruning, place);
    // A thinned segment is as small as it gets: age alone is no reason to drop it.
    else if (tooMuch) pruned.dropped += dropOldest(pruning);
    else break;
  }
  return pruned;
}

/** All in the segment at a place is older than the bound. */
function isTooOld({ segments, bounds, untilMs }: Pruning, place: number): boolean {
  const endMs = segments[place + 1]?.beginMs ?? Number.POSITIVE_INFINITY;
  return untilMs - endMs > bounds.maxAgeMs;
}

function isTooMuch({ segments, bounds }: Pruning): boolean {
  return segments.reduce((sum, { bytes }) => sum + bytes, 0) > bounds.maxBytes;
}

/** The last number in the segment at a place that is not the newest's. */
function lastOf({ segments }: Pruning, place: number): number {
  return (segments[place + 1]?.first ?? Number.POSITIVE_INFINITY) - 1;
}

/** The oldest beyond the bounds that was never sent nor thinned; -1 when there is none. */
function placeToThin(pruning: Pruning, tooMuch: boolean): number {
  const { segments, keptThrough, handedOut } = pruning;
  const isOpen = ({ first, thinnedFrom }: Segment, place: number) =>
    place < segments.length - 1 &&
    thinnedFrom === undefined &&
    first > Math.max(keptThrough, handedOut) &&
    (tooMuch || isTooOld(pruning, place));
  return segments.findIndex(isOpen);
}

function dropOldest(pruning: Pruning): number {
  const { segments, keptThrough } = pruning;
  const [oldest] = segments;
  if (oldest === undefined) return 0;
  const unsent = lastOf(pruning, 0) - Math.max(keptThrough, oldest.first - 1);
  unlinkSync(oldest.path);
  segments.shift();
  return Math.max(0, unsent);
}

/** The few batches that are left take the last numbers; those before are given up. */
function thin(pruning: Pruning, place: number): number {
  const { folder, segments } = pruning;
  const segment = segments[place];
  if (segment === undefined) return 0;
  const places = [...scanSegment(segment).index.values()];
  const bodies = places.flatMap((at) => readBatch(segment.path, at) ?? []);
  const left = thinnedBatches(bodies.map(({ batch: _batch, ...body }) => body));
  const last = lastOf(pruning, place);
  const first = last - Math.max(1, left.length) + 1;
  const thinned = { first, beginMs: segment.beginMs, thinnedFrom: segment.first };
  const path = join(folder, formatSegmentName(thinned));
  const text = left.map((body, at) => formatLine(first + at, body)).join("");
  replaceFile(path, text);
  unlinkSync(segment.path);
  syncFolder(folder);
  segments[place] = { ...thinned, path, bytes: Buffer.byteLength(text) };
  return first - segment.first;
}
