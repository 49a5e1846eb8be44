// All that the page knows of the yard: the last whole view with every change applied to it.
import type { BucketView, YardView } from "../shared/wire/api.ts";
import type { YardChange } from "../shared/wire/live.ts";
import type { ClockAnchor } from "./clock.ts";

type Link = "joining" | "live" | "lost";

export type PageState = {
  link: Link;
  yard: YardView | undefined;
  /** Undefined until the server has said what time it is. */
  clock: ClockAnchor | undefined;
  /** The yard's time of the newest word from the server. */
  freshMs: number | undefined;
  /** The server hands out a newer version of the page than this one. */
  isOutdated: boolean;
};

export type PageAction =
  | { type: "yard"; view: YardView; pageMs: number }
  | { type: "change"; change: YardChange; pageMs: number }
  /** What this browser kept, so many milliseconds of its own clock ago. */
  | { type: "kept"; view: YardView; pageMs: number; agoMs: number }
  | { type: "outdated" }
  | { type: "lost" };

export const emptyState: PageState = {
  link: "joining",
  yard: undefined,
  clock: undefined,
  freshMs: undefined,
  isOutdated: false,
};

export function nextState(state: PageState, action: PageAction): PageState {
  switch (action.type) {
    case "outdated":
      return { ...state, isOutdated: true };
    case "kept":
      return state.yard === undefined ? { ...state, ...keptParts(action) } : state;
    case "lost":
      return { ...state, link: state.yard === undefined ? "joining" : "lost" };
    case "yard":
      return { ...state, ...liveParts(action.view, action.pageMs) };
    case "change":
      if (state.yard === undefined) return state;
      return { ...state, ...liveParts(changedYard(state.yard, action.change), action.pageMs) };
  }
}

type YardParts = Omit<PageState, "isOutdated">;

function liveParts(yard: YardView, pageMs: number): YardParts {
  const clock = { yardMs: yard.nowMs, pageMs, speed: yard.yard.clockSpeed };
  return { link: "live", yard, clock, freshMs: yard.nowMs };
}

/** Kept figures are never live: the yard's clock has gone on since, and they are as old as that. */
function keptParts(kept: { view: YardView; pageMs: number; agoMs: number }): YardParts {
  const { view: yard, pageMs } = kept;
  const speed = yard.yard.clockSpeed;
  const yardMs = yard.nowMs + Math.max(0, kept.agoMs) * speed;
  return { link: "lost", yard, clock: { yardMs, pageMs, speed }, freshMs: yard.nowMs };
}

/** Applies one change: entries replace those of the same key, new ones go to the end. */
export function changedYard(yard: YardView, change: YardChange): YardView {
  return {
    ...yard,
    nowMs: change.nowMs,
    yard: change.yard ?? yard.yard,
    season: change.season ?? yard.season,
    doNow: change.doNow ?? yard.doNow,
    boards: merged(yard.boards, change.boards, (board) => board.name),
    buckets: changedBuckets(yard.buckets, change),
    vessels: change.vessels ?? yard.vessels,
    alarms: change.alarms ?? yard.alarms,
  };
}

function changedBuckets(buckets: BucketView[], change: YardChange): BucketView[] {
  const gone = new Set(change.gone);
  return merged(buckets, change.buckets, (bucket) => bucket.id).filter(({ id }) => !gone.has(id));
}

function merged<T>(old: T[], changed: T[] | undefined, keyOf: (entry: T) => unknown): T[] {
  if (changed === undefined) return old;
  const byKey = new Map(old.map((entry) => [keyOf(entry), entry]));
  for (const entry of changed) byKey.set(keyOf(entry), entry);
  return [...byKey.values()];
}
