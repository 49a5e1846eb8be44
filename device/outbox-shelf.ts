// The segments of an outbox in order: finding a batch, and dropping the oldest beyond the bounds.
import { existsSync, readdirSync, statSync, unlinkSync } from "node:fs";
import { join } from "node:path";
import type { KeptBatch } from "./outbox-line.ts";
import { type PruneBounds, type Pruned, prune } from "./outbox-prune.ts";
import {
  formatSegmentName,
  type Place,
  parseSegmentName,
  readBatch,
  type Segment,
  scanSegment,
} from "./outbox-segment.ts";

export type Bounds = PruneBounds & { segmentBytes: number };

export type Shelf = {
  /** Number of the newest batch; 0 when there never was one. */
  last(): number;
  /** Time of the newest reading; undefined when nothing is on disk. */
  untilMs(): number | undefined;
  /** The segment that the next batch goes into; a new one when the newest is full. */
  segmentForNext(beginMs: number): Segment;
  added(segment: Segment, places: readonly Place[], untilMs: number): void;
  /** Numbers up to this one are used up, wherever they are. */
  passOver(batch: number): void;
  /** The first sound batch from this number on. */
  next(from: number): KeptBatch | undefined;
  /**
   * Holds the bounds: drops whole segments that are kept, oldest first, thins those that were never
   * handed out, and drops others only when there still is too much. Never the newest.
   */
  prune(keptThrough: number): Pruned;
};

type Index = Map<number, Place>;

export function openShelf(folder: string, bounds: Bounds): Shelf {
  const segments = listSegments(folder);
  const newest = segments.at(-1);
  const scanned = newest === undefined ? undefined : scanSegment(newest);
  if (newest !== undefined && scanned !== undefined) newest.bytes = scanned.wholeBytes;
  const indexOf = createIndexes(segments);
  let last = scanned?.last ?? 0;
  let untilMs = scanned?.untilMs ?? newest?.beginMs;
  let full = false;
  // What may be under way must not change under its number.
  let handedOut = 0;
  let begun: Segment | undefined;

  return {
    last: () => last,
    untilMs: () => untilMs,
    segmentForNext(beginMs) {
      const open = segments.at(-1);
      if (open !== undefined && !full && open.bytes < bounds.segmentBytes) return open;
      const path = join(folder, formatSegmentName({ first: last + 1, beginMs }));
      // The same one again when its first write failed, so that no second file of its number is made.
      if (begun?.first !== last + 1) begun = { path, first: last + 1, beginMs, bytes: 0 };
      return begun;
    },
    added(segment, places, newestMs) {
      if (segments.at(-1) !== segment) segments.push(segment);
      full = false;
      begun = undefined;
      const index = indexOf(segment);
      for (const place of places) {
        last += 1;
        index.set(last, place);
        segment.bytes = place.offset + place.length + 1;
      }
      untilMs = Math.max(untilMs ?? newestMs, newestMs);
    },
    passOver(batch) {
      if (batch <= last) return;
      last = batch;
      full = true;
    },
    next(from) {
      const candidates = segments.filter((_, at) => (segments[at + 1]?.first ?? last + 1) > from);
      for (const segment of candidates) {
        const found = firstSound(segment, indexOf(segment), from);
        if (found === undefined) continue;
        handedOut = Math.max(handedOut, found.batch);
        return found;
      }
      return undefined;
    },
    prune: (keptThrough) =>
      prune({ folder, bounds, segments, untilMs: untilMs ?? 0, keptThrough, handedOut }),
  };
}

/** The places in the newest segment and in one older: enough for sending in order. */
function createIndexes(segments: readonly Segment[]): (segment: Segment) => Index {
  const indexes = new Map<Segment, Index>();
  return (segment) => {
    const known = indexes.get(segment);
    if (known !== undefined) return known;
    for (const old of indexes.keys()) if (old !== segments.at(-1)) indexes.delete(old);
    const index = existsSync(segment.path) ? scanSegment(segment).index : new Map<number, Place>();
    indexes.set(segment, index);
    return index;
  };
}

function listSegments(folder: string): Segment[] {
  const found = readdirSync(folder)
    .flatMap((name) => {
      const parts = parseSegmentName(name);
      const path = join(folder, name);
      return parts === undefined ? [] : [{ path, ...parts, bytes: statSync(path).size }];
    })
    .sort((a, b) => a.first - b.first);
  return found.filter((segment) => !isLeftOver(segment, found));
}

/** A power cut came between writing a thinned segment and removing what it was made of. */
function isLeftOver(segment: Segment, all: readonly Segment[]): boolean {
  const isThinned = ({ first, thinnedFrom = Number.POSITIVE_INFINITY }: Segment) =>
    segment.thinnedFrom === undefined && segment.first >= thinnedFrom && segment.first <= first;
  if (!all.some(isThinned)) return false;
  unlinkSync(segment.path);
  return true;
}

function firstSound(segment: Segment, index: Index, from: number): KeptBatch | undefined {
  // Sending in order nearly always finds the number itself; only damage makes it look further.
  const exact = soundAt(segment, index, from);
  if (exact !== undefined) return exact;
  for (const batch of index.keys()) {
    const found = batch > from ? soundAt(segment, index, batch) : undefined;
    if (found !== undefined) return found;
  }
  return undefined;
}

function soundAt(segment: Segment, index: Index, batch: number): KeptBatch | undefined {
  const place = index.get(batch);
  const found = place === undefined ? undefined : readBatch(segment.path, place);
  return found?.batch === batch ? found : undefined;
}
