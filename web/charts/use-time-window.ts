// The span that a view's charts show: chosen by a word and going along with the time, or moved by hand.
import { useEffect, useMemo, useState } from "preact/hooks";
import { msPerHour, msPerMinute } from "../../shared/units.ts";
import type { PageFrame } from "../page-frame.ts";
import { createSpanControl, type SpanControl } from "./span-control.ts";
import { type SpanName, spanOf } from "./spans.ts";
import { lengthOf, movedSpan, type SpanLimits, type TimeSpan, zoomedSpan } from "./time-span.ts";

export type TimeWindow = {
  control: SpanControl;
  /** What is in sight once hands rest: what is asked for and measured by. */
  settled: TimeSpan;
  /** Undefined once it was moved by hand. */
  name: SpanName | undefined;
  choose: (name: SpanName) => void;
  /** The end of what is known, going along in steps. */
  nowMs: number;
};

const restMs = 180;
const shortestMs = 30 * msPerMinute;
const leastBeatMs = 5000;

export function useTimeWindow(
  page: PageFrame,
  start: { name: SpanName; beatMs: (name: SpanName | undefined) => number; looksAhead: boolean },
): TimeWindow {
  const [name, setName] = useState<SpanName | undefined>(start.name);
  const nowMs = useSteadyNowMs(page, start.beatMs(name));
  const from = { nowMs, season: page.yard.season, timeZone: page.timeZone, ...start };
  const chosen = chosenSpan(name ?? "season", from);
  const limits = limitsOf(from);
  const control = useMemo(() => createSpanControl({ span: chosen, limits }), []);
  const [moved, setMoved] = useState<TimeSpan>(chosen);
  control.setLimits(limits);
  useEffect(() => {
    if (name !== undefined) control.show(chosen, "choice");
  }, [control, name, chosen.fromMs, chosen.toMs]);
  useEffect(() => {
    let resting: number | undefined;
    const stop = control.watch((span, by) => {
      clearTimeout(resting);
      if (by !== "hand") return;
      resting = window.setTimeout(() => {
        control.letGo();
        setMoved(span);
        setName(undefined);
      }, restMs);
    });
    return () => {
      clearTimeout(resting);
      stop();
    };
  }, [control]);
  const choose = (wanted: SpanName) => {
    control.letGo();
    setName(wanted);
  };
  return { control, settled: name === undefined ? moved : chosen, name, choose, nowMs };
}

/** How often the end of the span moves on: with the step, but never faster than every 5 s real. */
function useSteadyNowMs(page: PageFrame, stepMs: number): number {
  const beatMs = Math.max(stepMs, leastBeatMs * page.yard.yard.clockSpeed);
  return Math.floor(page.nowMs / beatMs) * beatMs;
}

type From = {
  nowMs: number;
  season: PageFrame["yard"]["season"];
  timeZone: string;
  looksAhead: boolean;
};

/** A forecast of a day and a half has its room after now, less of it beside a short past. */
function aheadMs({ looksAhead }: From, pastMs: number): number {
  return looksAhead ? Math.min(36 * msPerHour, Math.max(12 * msPerHour, pastMs / 4)) : 0;
}

function chosenSpan(name: SpanName, from: From): TimeSpan {
  const span = spanOf(name, from);
  return { fromMs: span.fromMs, toMs: span.toMs + aheadMs(from, lengthOf(span)) };
}

/** Years before can be moved to, though no word chooses them. */
function limitsOf(from: From): SpanLimits {
  const season = chosenSpan("season", from);
  const firstMs = Math.min(season.fromMs, from.season.firstReadingMs ?? season.fromMs);
  return { ...season, fromMs: firstMs, shortestMs };
}

/** What buttons and keys do to the span. */
export type SpanMove = "earlier" | "later" | "closer" | "wider" | "begin" | "end";

export function moveSpan(control: SpanControl, move: SpanMove): void {
  const span = control.span();
  const limits = control.limits();
  const lengthMs = lengthOf(span);
  const middleMs = span.fromMs + lengthMs / 2;
  const moves: Record<SpanMove, () => TimeSpan> = {
    earlier: () => movedSpan(span, -lengthMs / 3, limits),
    later: () => movedSpan(span, lengthMs / 3, limits),
    closer: () => zoomedSpan(span, { factor: 1 / 2, atMs: middleMs }, limits),
    wider: () => zoomedSpan(span, { factor: 2, atMs: middleMs }, limits),
    begin: () => movedSpan(span, limits.fromMs - span.fromMs, limits),
    end: () => movedSpan(span, limits.toMs - span.toMs, limits),
  };
  control.show(moves[move](), "hand");
}

const keyMoves: Record<string, SpanMove> = {
  "+": "closer",
  "=": "closer",
  "-": "wider",
  Home: "begin",
  End: "end",
};

/** The move that a key asks for; arrows move with the shift key held. */
export function moveOfKey(event: Pick<KeyboardEvent, "key" | "shiftKey">): SpanMove | undefined {
  if (event.shiftKey && event.key === "ArrowLeft") return "earlier";
  if (event.shiftKey && event.key === "ArrowRight") return "later";
  return keyMoves[event.key];
}
