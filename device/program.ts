// The board program: fills in the past when asked to, then reads, keeps and publishes as time goes on.
import { join } from "node:path";
import { setImmediate as nextTurn } from "node:timers/promises";
import type { Clock } from "../shared/clock.ts";
import { msPerMinute } from "../shared/units.ts";
import { createBoard } from "./board.ts";
import { createDating, type Dating, type DatingSettings } from "./dating.ts";
import { startLive } from "./live.ts";
import type { Log } from "./log.ts";
import type { OpenLink } from "./mqtt-link.ts";
import { type Outbox, openOutbox } from "./outbox.ts";
import type { BatchBody } from "./pack.ts";
import { createPublisher, type Publisher, type PublisherSettings } from "./publisher.ts";
import type { WindowSource } from "./source.ts";

export type ProgramBoard = {
  name: string;
  source: WindowSource;
  openLink: OpenLink;
} & Pick<PublisherSettings, "obey" | "onAlarm">;

export type ProgramSettings = {
  clock: Clock;
  log: Log;
  dataFolder: string;
  boards: readonly ProgramBoard[];
  /** Physical boards, started and stopped with the program. */
  wired?: readonly { start(): Promise<void>; stop(): Promise<void> }[];
  /** How to go on while the clock can't be believed; without it the clock always is. */
  dating?: Omit<DatingSettings, "newestMs">;
  /** The past to fill in: from here to `presentMs`; equal when there is none. */
  startMs: number;
  presentMs: number;
  /** Between two readings of a quiet bucket. */
  stepMs?: number;
  /** Told the share (0-1) of the back-fill that the server keeps. */
  onBackfill?: (done: number) => void;
};

export type Program = {
  /** Opens outboxes and links. Throws AppError when an outbox can't be used. */
  start(): void;
  /** Settles when the server keeps all that is in the outbox; false when stopped before. */
  backfill(): Promise<boolean>;
  /** Goes on with the clock until stopped. */
  run(): void;
  /** The time that readings get; while the clock isn't believed, one that only rises. */
  nowMs(): number;
  /** Safe twice. */
  stop(): Promise<void>;
};

type OpenBoard = {
  source: WindowSource;
  outbox: Outbox;
  publisher: Publisher;
};

const usualStepMs = 30_000;
const lookMs = 5_000;
const backfillStepMs = msPerMinute;
const backfillPackMs = 30 * msPerMinute;
const surroundingsStepMs = 5 * msPerMinute;
/** Packs made ahead of what the server keeps, which bounds memory and lets it set the pace. */
const mostAhead = 96;

export function createProgram(settings: ProgramSettings): Program {
  const { log } = settings;
  const boards: OpenBoard[] = [];
  const news = createNews();
  const pace = createPace(settings, boards);
  let stopping = false;

  /** Waits until the server keeps all but so many of each board's batches. */
  async function keptBut(most: number, filledUntilMs: number): Promise<void> {
    tellProgress(settings, boards, filledUntilMs);
    while (!stopping && boards.some(({ outbox }) => aheadOf(outbox) > most)) {
      await news.next();
      tellProgress(settings, boards, filledUntilMs);
    }
  }

  return {
    start() {
      for (const board of settings.boards) {
        const open = openBoard(settings, board, { onKept: news.tell, dating: pace.dating });
        boards.push(open);
      }
      pace.open();
      for (const { publisher } of boards) publisher.start();
      for (const wired of settings.wired ?? []) {
        wired
          .start()
          .catch((error: unknown) => log.error("board not started", { problem: String(error) }));
      }
    },
    async backfill() {
      const filling = boards.map((board) =>
        boardFrom(board, settings.startMs, { stepMs: backfillStepMs, surroundingsStepMs }),
      );
      for (const untilMs of backfillSlices(settings)) {
        for (const board of filling) board.collect(untilMs);
        await nextTurn();
        await keptBut(mostAhead, untilMs);
        if (stopping) return false;
      }
      await keptBut(0, settings.presentMs);
      return !stopping;
    },
    run: pace.run,
    nowMs: pace.nowMs,
    async stop() {
      if (stopping) return;
      stopping = true;
      pace.stop();
      news.tell();
      await Promise.all((settings.wired ?? []).map((wired) => wired.stop()));
      // Links first: what the server still says while they close belongs on disk too.
      await Promise.all(boards.map(({ publisher }) => publisher.stop()));
      for (const { outbox } of boards) await outbox.close();
    },
  };
}

function openBoard(
  { dataFolder, log }: ProgramSettings,
  { name, source, ...ways }: ProgramBoard,
  { onKept, dating }: { onKept: () => void; dating: () => Dating | undefined },
): OpenBoard {
  const outbox = openOutbox({ folder: join(dataFolder, name), log });
  const restate = (body: BatchBody) => dating()?.restate(body) ?? body;
  const publisher = createPublisher({ board: name, outbox, log, onKept, restate, ...ways });
  const append = (body: BatchBody) => outbox.append(dating()?.stamp(body) ?? body);
  return { source, outbox: { ...outbox, append }, publisher };
}

/** Goes on with the clock, or with a time of its own until the clock can be believed. */
function createPace(settings: ProgramSettings, boards: readonly OpenBoard[]) {
  const { clock, log } = settings;
  let dating: Dating | undefined;
  let live: { stop(): void } | undefined;
  let looking: NodeJS.Timeout | undefined;
  let believed = true;
  const nowMs = () => dating?.nowMs() ?? clock.nowMs();
  const paceClock = {
    nowMs,
    get speed() {
      return clock.speed;
    },
  };

  function runFrom(fromMs: number): void {
    live?.stop();
    const stepMs = settings.stepMs ?? usualStepMs;
    const collectors = boards.map((board) => boardFrom(board, fromMs, { stepMs }));
    live = startLive({ clock: paceClock, log, fromMs, collectors });
  }
  function look(): void {
    const before = believed;
    believed = dating?.look() ?? true;
    if (believed === before) return;
    if (!believed) {
      log.warn("the clock can't be believed: readings go with their age until it can");
      return;
    }
    log.info("the clock is believed from now on");
    runFrom(nowMs() + 1);
  }
  return {
    nowMs,
    dating: () => dating,
    /** Once the outboxes are open, as the newest reading is a sign of the time. */
    open() {
      if (settings.dating === undefined) return;
      const newest = boards.map(({ outbox }) => outbox.untilMs() ?? 0);
      dating = createDating({ ...settings.dating, newestMs: Math.max(...newest) });
    },
    run() {
      if (dating === undefined) return runFrom(settings.presentMs + 1);
      runFrom(nowMs() + 1);
      look();
      looking = setInterval(look, lookMs).unref();
    },
    stop() {
      clearInterval(looking);
      live?.stop();
    },
  };
}

function* backfillSlices({ startMs, presentMs }: ProgramSettings): Generator<number> {
  for (let untilMs = startMs; untilMs < presentMs; ) {
    untilMs = Math.min(presentMs, untilMs + backfillPackMs);
    yield untilMs;
  }
}

function tellProgress(settings: ProgramSettings, boards: readonly OpenBoard[], untilMs: number) {
  const { startMs, presentMs, onBackfill } = settings;
  onBackfill?.(((untilMs - startMs) / (presentMs - startMs)) * keptShare(boards));
}

type Steps = { stepMs: number; surroundingsStepMs?: number };

/** Begins after what the outbox already holds, so that a board's times never go back. */
function boardFrom({ source, outbox }: OpenBoard, fromMs: number, steps: Steps) {
  const heldMs = outbox.untilMs();
  const firstMs = Math.max(fromMs, heldMs === undefined ? 0 : heldMs + 1);
  return createBoard({
    source,
    outbox,
    firstMs: Math.ceil(firstMs / steps.stepMs) * steps.stepMs,
    surroundingsStepMs: steps.stepMs,
    surroundingsWithReadings: steps.surroundingsStepMs === undefined,
    ...steps,
  });
}

function aheadOf(outbox: Outbox): number {
  return outbox.waiting() + outbox.last() - outbox.kept().through;
}

function keptShare(boards: readonly OpenBoard[]): number {
  const kept = boards.reduce((sum, { outbox }) => sum + outbox.kept().through, 0);
  const made = boards.reduce((sum, { outbox }) => sum + outbox.last() + outbox.waiting(), 0);
  return made === 0 ? 0 : Math.min(1, kept / made);
}

/** Something to wait for: the server kept more, or the program is stopping. */
function createNews() {
  let waiters: (() => void)[] = [];
  return {
    next: () =>
      new Promise<void>((resolve) => {
        waiters.push(resolve);
      }),
    tell() {
      const all = waiters;
      waiters = [];
      for (const resolve of all) resolve();
    },
  };
}
