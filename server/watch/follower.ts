// Follows what is committed: takes each bucket's track up to date in slices, and judges it as it goes.
import type { Clock } from "../../shared/clock.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { LateStore } from "../db/late.ts";
import type { PourStore } from "../db/pours.ts";
import type { Sqlite } from "../db/sqlite.ts";
import type { WetStore } from "../db/wets.ts";
import type { Log } from "../log.ts";
import type { Announcer } from "./announcer.ts";
import { type CatchUp, type CatchUpParts, createCatchUp } from "./catch-up.ts";
import { createDayBook, type DayBook } from "./day-book.ts";
import { keepGathering } from "./keep-gathering.ts";
import { committedFromMark, fallBehind, goBack, type News, takeDue, takeNews } from "./news.ts";
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
  late: Pick<LateStore, "list" | "clear" | "undone">;
  rainDesk: RainDesk;
  timeZone: () => string;
  /** Real time until readings that could not be followed are gone through again. */
  retryMs?: number;
  /** What was written in a slice is undone: what the desks remember of it is not so. */
  undone: () => void;
};

type Following = FollowerParts &
  News & {
    dayBook: DayBook;
    catchUp: CatchUp;
    /** What was gone through is undone: buckets are to be taken up at their last checkpoints. */
    isUndone: boolean;
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
  };

const sliceMs = 25;
const usualRetryMs = 2000;
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
    news: [],
    isUndone: false,
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
    /** Judges the buckets that no reading has brought a judgement for; takes up what waited for now. */
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
      inside.news.push(...parts.late.list().map(committedFromMark));
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
      if (isSettled(inside)) return Promise.resolve();
      return new Promise((resolve) => inside.waiting.push(resolve));
    },
  };
}

function committed(inside: Following, batch: Committed[]): void {
  // Looked at in its turn, where a store that can't be read is tried again.
  inside.news.push(...batch);
  inside.commitBeforeMs = inside.commitMs;
  inside.commitMs = performance.now();
  scheduleWithRest(inside);
}

function isSettled({ news, behind, isUndone, turn }: Following): boolean {
  return news.length === 0 && behind.size === 0 && !isUndone && turn === undefined;
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

function schedule(inside: Following): void {
  inside.turn ??= setImmediate(() => takeTurn(inside));
}

function takeTurn(inside: Following): void {
  inside.turn = undefined;
  // With the buckets and not before them, or a page would get the two one after the other.
  inside.announcer.boardsChanged();
  try {
    if (inside.isUndone) resumeAll(inside);
    inside.isUndone = false;
    takeNews(inside);
    inTransaction(inside);
  } catch (error) {
    // What the slice wrote is undone: back to the last checkpoints, a little later.
    inside.log.error("readings not followed", { problem: String(error) });
    inside.isUndone = true;
    inside.undone();
    inside.late.undone();
    clearTimeout(inside.retry);
    inside.retry = setTimeout(() => schedule(inside), inside.retryMs ?? usualRetryMs);
    return;
  }
  if (inside.behind.size > 0) {
    schedule(inside);
    return;
  }
  inside.caughtUpMs = performance.now();
  for (const resolve of inside.waiting.splice(0)) resolve();
}

/** One slice. How far buckets are to go back is known to nobody else: what is undone has to be done again. */
function inTransaction(inside: Following): void {
  const again = [...inside.behind].map((watched) => [watched, watched.againFromMs] as const);
  try {
    inside.sqlite.transaction(() => goThroughSlice(inside))();
  } catch (error) {
    for (const [watched, againFromMs] of again) watched.againFromMs = againFromMs;
    throw error;
  }
}

function resumeAll(inside: Following): void {
  for (const watched of inside.roll.all()) {
    inside.catchUp.resume(watched);
    watched.judgedMs = inside.tracks.slotSpan(watched.bucket.id).toMs ?? 0;
    fallBehind(inside, watched);
  }
}

function goThroughSlice(inside: Following): void {
  const { behind, catchUp } = inside;
  const untilMs = performance.now() + sliceMs;
  for (const watched of behind) {
    if (watched.againFromMs !== undefined) forgetGatherings(inside, watched, watched.againFromMs);
    if (!catchUp.advance(watched)) {
      behind.delete(watched);
      watched.isBehind = false;
      judgeIfDue(inside, watched);
    }
    inside.announcer.bucketChanged(watched);
    if (performance.now() > untilMs) break;
  }
  inside.dayBook.write();
  if (behind.size > 0) return;
  settleRain(inside);
  inside.late.clear();
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
  if (takeDue(inside, nowMs)) schedule(inside);
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
