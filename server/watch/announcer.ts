// Tells the pages: the whole yard when asked, and what changed as it changes.
import type { Clock } from "../../shared/clock.ts";
import type { YardView } from "../../shared/wire/api.ts";
import type { YardChange } from "../../shared/wire/live.ts";
import type { Log } from "../log.ts";
import type { AlarmDesk } from "./alarm-desk.ts";
import type { Roll } from "./roll.ts";
import type { Views } from "./views.ts";
import type { Watched } from "./watched.ts";

export type AnnouncerParts = {
  clock: Clock;
  log: Log;
  roll: Roll;
  alarmDesk: AlarmDesk;
  views: Views;
};

type Due = {
  yard: boolean;
  boards: boolean;
  vessels: boolean;
  alarms: boolean;
  gone: string[];
  buckets: Set<Watched>;
};

type Announcing = AnnouncerParts & {
  listeners: Set<(change: YardChange) => void>;
  due: Due;
  pausedUntilMs: number | undefined;
  timer: NodeJS.Timeout | undefined;
  /** Real time of the last look at what is due, and of the last change that was told. */
  saidMs: number;
  toldMs: number;
  lastDoNow: { text: string; atMs: number };
  /** By name, what was told of each board last: one that says nothing new is left out. */
  toldBoards: Map<string, string>;
};

const shortestPauseMs = 50;
const doNowEveryMs = 1000;
const timeAloneEveryMs = 10_000;

export type Announcer = ReturnType<typeof createAnnouncer>;

export function createAnnouncer(parts: AnnouncerParts) {
  const inside: Announcing = {
    ...parts,
    listeners: new Set(),
    due: nothingDue(),
    pausedUntilMs: undefined,
    timer: undefined,
    saidMs: 0,
    toldMs: 0,
    lastDoNow: { text: "", atMs: 0 },
    toldBoards: new Map(),
  };
  const mark = (what: Partial<Due>) => {
    Object.assign(inside.due, what);
    schedule(inside);
  };
  return {
    yardView: () => yardView(inside),
    pausedUntilMs: () => inside.pausedUntilMs ?? null,
    bucketChanged(watched: Watched): void {
      inside.due.buckets.add(watched);
      schedule(inside);
    },
    boardsChanged: () => mark({ boards: true }),
    alarmsChanged: () => mark({ alarms: true }),
    vesselsChanged: () => mark({ vessels: true }),
    recordsChanged(gone: string[]): void {
      const buckets = new Set(parts.roll.all());
      mark({
        yard: true,
        boards: true,
        vessels: true,
        gone: [...inside.due.gone, ...gone],
        buckets,
      });
    },
    pause(untilMs: number | undefined): void {
      inside.pausedUntilMs = untilMs;
      mark({ yard: true });
    },
    /** A page whose clock runs by the server's wants to hear it now and then. */
    timePassed: () => schedule(inside),
    onChange(listener: (change: YardChange) => void): () => void {
      inside.listeners.add(listener);
      return () => inside.listeners.delete(listener);
    },
    stop(): void {
      clearTimeout(inside.timer);
      inside.timer = undefined;
    },
  };
}

function nothingDue(): Due {
  return {
    yard: false,
    boards: false,
    vessels: false,
    alarms: false,
    gone: [],
    buckets: new Set(),
  };
}

function schedule(inside: Announcing): void {
  if (inside.listeners.size === 0) return;
  const sinceMs = performance.now() - inside.saidMs;
  inside.timer ??= setTimeout(() => trySaying(inside), Math.max(0, shortestPauseMs - sinceMs));
}

function trySaying(inside: Announcing): void {
  const { gone } = inside.due;
  try {
    say(inside);
  } catch (error) {
    // A store that can't be read must not end the server: with the next change all is told.
    inside.log.error("pages not told", { problem: String(error) });
    const all = { yard: true, boards: true, vessels: true, alarms: true };
    inside.due = { ...all, gone, buckets: new Set(inside.roll.all()) };
    inside.toldBoards.clear();
  }
}

function say(inside: Announcing): void {
  inside.timer = undefined;
  inside.saidMs = performance.now();
  const { due, views } = inside;
  inside.due = nothingDue();
  const nowMs = Math.round(inside.clock.nowMs());
  const boards = due.boards ? views.boards(nowMs) : undefined;
  const doNow = changedDoNow(inside, { nowMs, boards, atOnce: due.alarms || due.yard });
  const change = changeOf(inside, due, { nowMs, boards, doNow });
  // Time alone is news only now and then: pages keep their own clock between.
  const isTimeAlone = Object.keys(change).length === 1;
  if (isTimeAlone && inside.saidMs - inside.toldMs < timeAloneEveryMs) return;
  inside.toldMs = inside.saidMs;
  for (const listener of inside.listeners) listener(change);
}

type Made = {
  nowMs: number;
  boards: YardView["boards"] | undefined;
  doNow: YardView["doNow"] | undefined;
};

function changeOf(inside: Announcing, due: Due, made: Made): YardChange {
  const { views } = inside;
  const { nowMs, doNow } = made;
  const boards = newsOf(inside, made.boards ?? []);
  const buckets = [...due.buckets].filter(({ bucket }) => inside.roll.find(bucket.id));
  return {
    nowMs,
    ...(due.yard ? { yard: views.yard(nowMs, inside.pausedUntilMs) } : {}),
    ...(due.yard ? { season: views.season(nowMs) } : {}),
    ...(due.gone.length > 0 ? { gone: due.gone } : {}),
    ...(buckets.length > 0 ? { buckets: buckets.map((one) => views.bucket(one, nowMs)) } : {}),
    ...(boards.length > 0 ? { boards } : {}),
    ...(due.vessels ? { vessels: views.vessels(nowMs) } : {}),
    ...(due.alarms ? { alarms: inside.alarmDesk.list() } : {}),
    ...(doNow === undefined ? {} : { doNow }),
  };
}

function newsOf({ toldBoards }: Announcing, boards: YardView["boards"]): YardView["boards"] {
  return boards.filter((board) => {
    const text = JSON.stringify(board);
    if (toldBoards.get(board.name) === text) return false;
    toldBoards.set(board.name, text);
    return true;
  });
}

/** The sentence costs a look at every bucket: at most once a second, or at once for an alarm. */
function changedDoNow(
  inside: Announcing,
  asked: { nowMs: number; boards: YardView["boards"] | undefined; atOnce: boolean },
): YardView["doNow"] | undefined {
  const { views, lastDoNow } = inside;
  const realMs = performance.now();
  if (!asked.atOnce && realMs - lastDoNow.atMs < doNowEveryMs) return undefined;
  const doNow = views.doNow(asked.nowMs, asked.boards ?? views.boards(asked.nowMs));
  const text = JSON.stringify(doNow);
  inside.lastDoNow = { text, atMs: realMs };
  return text === lastDoNow.text ? undefined : doNow;
}

function yardView(inside: Announcing): YardView {
  const { views, clock, roll, alarmDesk, pausedUntilMs } = inside;
  // Who is shown the whole now is told all that comes after, whatever was told before.
  inside.toldBoards.clear();
  const nowMs = Math.round(clock.nowMs());
  const boards = views.boards(nowMs);
  return {
    nowMs,
    season: views.season(nowMs),
    yard: views.yard(nowMs, pausedUntilMs),
    boards,
    buckets: roll.all().map((watched) => views.bucket(watched, nowMs)),
    vessels: views.vessels(nowMs),
    alarms: alarmDesk.list(),
    doNow: views.doNow(nowMs, boards),
  };
}
