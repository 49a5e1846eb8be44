// Follows what is committed: takes each bucket's track up to date in slices, and judges it as it goes.
import type { Clock } from "../../shared/clock.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { PourStore } from "../db/pours.ts";
import type { Sqlite } from "../db/sqlite.ts";
import type { WetStore } from "../db/wets.ts";
import type { Log } from "../log.ts";
import type { Announcer } from "./announcer.ts";
import { type CatchUp, type CatchUpParts, createCatchUp } from "./catch-up.ts";
import { createDayBook, type DayBook } from "./day-book.ts";
import { keepGathering } from "./keep-gathering.ts";
import type { RainDesk } from "./rain-desk.ts";
import { restFrom } from "./rest.ts";
import type { Roll } from "./roll.ts";
import type { VesselDesk } from "./vessel-desk.ts";
import type { Committed } from "./watch.ts";
import type { Watched } from "./watched.ts";
import type { YardDesk } from "./yard-desk.ts";

export type FollowerParts = Pick<CatchUpParts, "readings" | "boards" | "tracks"> & {
  sqlite: Sqlite;
  clock: Clock;
  log: Log;
  gatherings: GatheringStore;
  pours: PourStore;
  roll: Roll;
  yardDesk: YardDesk;
  vesselDesk: VesselDesk;
  announcer: Announcer;
  wets: WetStore;
  rainDesk: RainDesk;
  timeZone: () => string;
};

type Following = FollowerParts & {
  dayBook: DayBook;
  catchUp: CatchUp;
  /** Buckets with readings not gone through yet. */
  behind: Set<Watched>;
  waiting: (() => void)[];
  turn: NodeJS.Immediate | undefined;
  rest: NodeJS.Timeout | undefined;
  /** Real times of the last commit, of the one before it, and of the moment when nothing was behind any more. */
  commitMs: number;
  commitBeforeMs: number;
  caughtUpMs: number;
  retry: NodeJS.Timeout | undefined;
  /** Buckets whose judgement no longer holds although no reading came. */
  outdated: Set<Watched>;
  /** Cells heard that no record speaks of; forgotten when records change. */
  strangers: Set<number>;
};

const sliceMs = 25;
const retryMs = 2000;
const backlogMs = 3_600_000;
const oldMs = 24 * 3_600_000;
const judgeOldEveryMs = 2 * 3_600_000;
const judgeEveryMs = 5 * 60_000;
const newestMs = Number.MAX_SAFE_INTEGER;

export type Follower = ReturnType<typeof createFollower>;

export function createFollower(parts: FollowerParts) {
  const dayBook = createDayBook(parts);
  const catchUp = createCatchUp({
    ...parts,
    onMoment: (watched, atMs) => judgeReading(parts, watched, atMs),
    onEvent(watched, event) {
      if (event.kind === "emptied") parts.rainDesk.refresh(watched);
      keepGathering(parts, watched, event);
    },
    onSlot: dayBook.touch,
  });
  const inside: Following = {
    ...parts,
    dayBook,
    catchUp,
    behind: new Set(),
    outdated: new Set(),
    waiting: [],
    turn: undefined,
    rest: undefined,
    commitMs: 0,
    commitBeforeMs: 0,
    caughtUpMs: 0,
    retry: undefined,
    strangers: new Set(),
  };
  return {
    committed: (batch: Committed[]) => committed(inside, batch),
    /** Judges as of now the buckets that no reading has brought a judgement for. */
    judgeQuiet: (nowMs: number) => judgeQuiet(inside, nowMs),
    /** What judgements stand on has changed: all buckets are judged again, a slice at a time. */
    judgeAnew: () => judgeAnew(inside),
    /** Reads the records anew; returns the buckets that are gone. */
    recordsChanged: (change?: { bucketId: string; fromMs: number }) =>
      recordsChanged(inside, change),
    start(): void {
      parts.roll.reload();
      parts.rainDesk.start();
      resumeAll(inside);
      schedule(inside);
    },
    stop(): void {
      clearImmediate(inside.turn);
      clearTimeout(inside.rest);
      clearTimeout(inside.retry);
      inside.turn = undefined;
      inside.rest = undefined;
    },
    settled(): Promise<void> {
      if (inside.behind.size === 0 && inside.turn === undefined) return Promise.resolve();
      return new Promise((resolve) => inside.waiting.push(resolve));
    },
  };
}

function committed(inside: Following, batch: Committed[]): void {
  for (const { board, cells, probes } of batch) {
    for (const { cellKey, fromMs } of cells) {
      for (const watched of watchedOn(inside, cellKey)) follow(inside, watched, fromMs);
    }
    if (probes !== undefined) lookBackForAir(inside, board, probes.fromMs);
  }
  inside.commitBeforeMs = inside.commitMs;
  inside.commitMs = performance.now();
  scheduleWithRest(inside);
}

function scheduleWithRest(inside: Following): void {
  if (inside.turn !== undefined || inside.rest !== undefined) return;
  const restMs = restFrom(inside, performance.now());
  if (restMs <= 0) {
    schedule(inside);
    return;
  }
  inside.rest = setTimeout(() => {
    inside.rest = undefined;
    scheduleWithRest(inside);
  }, restMs);
}

/** A reading older than what was gone through sends the bucket back to before it. */
function follow(inside: Following, watched: Watched, fromMs: number): void {
  if (fromMs <= (watched.track.atMs ?? 0)) goBack(inside, watched, fromMs);
  inside.behind.add(watched);
}

function goBack(inside: Following, watched: Watched, fromMs: number): void {
  watched.againFromMs = Math.min(watched.againFromMs ?? newestMs, fromMs);
  inside.behind.add(watched);
}

/** A cell may be heard for the first time after a bucket was said to hang on it. */
function watchedOn({ roll, strangers }: Following, cellKey: number): readonly Watched[] {
  const found = roll.onCell(cellKey);
  if (found.length > 0 || strangers.has(cellKey)) return found;
  roll.reload();
  const foundNow = roll.onCell(cellKey);
  if (foundNow.length === 0) strangers.add(cellKey);
  return foundNow;
}

/** A temperature older than readings already gone through changes what they meant. */
function lookBackForAir(inside: Following, board: string, fromMs: number): void {
  for (const watched of inside.roll.all()) {
    const isOnBoard = watched.bucket.cell?.startsWith(`${board}/`) === true;
    if (isOnBoard && fromMs <= (watched.track.atMs ?? 0)) goBack(inside, watched, fromMs);
  }
}

function schedule(inside: Following): void {
  inside.turn ??= setImmediate(() => takeTurn(inside));
}

function takeTurn(inside: Following): void {
  inside.turn = undefined;
  // With the buckets and not before them, or a page would get the two one after the other.
  inside.announcer.boardsChanged();
  try {
    inside.sqlite.transaction(() => goThroughSlice(inside))();
  } catch (error) {
    // What the slice wrote is undone: back to the last checkpoints, a little later.
    inside.log.error("readings not followed", { problem: String(error) });
    resumeAll(inside);
    inside.retry = setTimeout(() => schedule(inside), retryMs);
    return;
  }
  if (inside.behind.size > 0) {
    schedule(inside);
    return;
  }
  inside.caughtUpMs = performance.now();
  for (const resolve of inside.waiting.splice(0)) resolve();
}

function resumeAll(inside: Following): void {
  for (const watched of inside.roll.all()) {
    inside.catchUp.resume(watched);
    watched.judgedMs = inside.tracks.slotSpan(watched.bucket.id).toMs ?? 0;
    inside.behind.add(watched);
  }
}

function goThroughSlice(inside: Following): void {
  const { behind, catchUp } = inside;
  const untilMs = performance.now() + sliceMs;
  for (const watched of behind) {
    if (watched.againFromMs !== undefined) forgetGatherings(inside, watched, watched.againFromMs);
    if (!catchUp.advance(watched)) {
      behind.delete(watched);
      judgeIfDue(inside, watched);
    }
    inside.announcer.bucketChanged(watched);
    if (performance.now() > untilMs) break;
  }
  inside.dayBook.write();
  if (behind.size === 0) settleRain(inside);
}

/** Only once all that is stored was gone through: what fell is told by all buckets together. */
function settleRain({ rainDesk, dayBook, announcer }: Following): void {
  for (const watched of rainDesk.settle(dayBook)) announcer.bucketChanged(watched);
  dayBook.write();
}

function forgetGatherings(inside: Following, { bucket }: Watched, fromMs: number): void {
  const againMs = inside.tracks.checkpointBefore(bucket.id, fromMs)?.atMs ?? 0;
  inside.gatherings.replaceDetected(bucket.id, againMs, []);
  inside.pours.forgetGatheredSap(bucket.id, againMs);
  inside.vesselDesk.changed();
}

/** A restart or a late reading goes through readings again whose alarms were raised and cleared long ago. */
function judgeReading(parts: FollowerParts, watched: Watched, atMs: number): void {
  if (atMs < watched.judgedMs) return;
  // Of days gone by nobody can be warned any more: a coarser history of their alarms is enough.
  const isOld = parts.clock.nowMs() - atMs > oldMs && watched.assessment !== undefined;
  if (isOld && atMs - watched.judgedMs < judgeOldEveryMs) return;
  watched.judgedMs = atMs;
  judge(parts, watched, atMs);
}

function judge(parts: FollowerParts, watched: Watched, atMs: number): void {
  if (parts.yardDesk.judgeBucket(watched, atMs)) parts.announcer.alarmsChanged();
}

function judgeAnew(inside: Following): void {
  for (const watched of inside.roll.all()) {
    inside.outdated.add(watched);
    inside.behind.add(watched);
  }
  schedule(inside);
}

function judgeIfDue(inside: Following, watched: Watched): void {
  const { atMs } = watched.track;
  if (inside.outdated.delete(watched)) {
    judge(inside, watched, inside.clock.nowMs());
    return;
  }
  const last = watched.assessment?.atMs;
  // In a backlog the half hours of the readings' own time are enough.
  const isBacklog = atMs !== null && inside.clock.nowMs() - atMs > backlogMs;
  if (isBacklog && last !== undefined) return;
  if (atMs === null) judge(inside, watched, inside.clock.nowMs());
  else if (last === undefined || Math.abs(atMs - last) >= judgeEveryMs) {
    judgeReading(inside, watched, atMs);
  }
}

function judgeQuiet(inside: Following, nowMs: number): void {
  for (const watched of inside.roll.all()) {
    const last = watched.assessment?.atMs ?? 0;
    if (inside.behind.has(watched) || nowMs - last < judgeEveryMs) continue;
    judge(inside, watched, nowMs);
    inside.announcer.bucketChanged(watched);
  }
}

function recordsChanged(
  inside: Following,
  change: { bucketId: string; fromMs: number } | undefined,
): string[] {
  const { roll, strangers } = inside;
  strangers.clear();
  const { met, gone } = roll.reload();
  for (const watched of met) goBack(inside, watched, newestMs);
  const changed = change && roll.find(change.bucketId);
  if (changed) goBack(inside, changed, change.fromMs);
  for (const watched of roll.all()) watched.assessment = undefined;
  inside.rainDesk.recordsChanged(inside.clock.nowMs());
  schedule(inside);
  return gone;
}
