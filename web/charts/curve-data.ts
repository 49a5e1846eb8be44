// What is drawn beside the lines of a curve: spans of frost and thaw, marks of events.
import type { Curve, CurveEvent } from "../../shared/wire/api.ts";
import type { TimeSpan } from "./time-span.ts";

export type Mark = { atMs: number; words: string };

type AirAt = { atMs: number; airC: number | null };

/**
 * Spans of air on one side of 0 Cel, the crossing placed between the two readings.
 * Where the air isn't known there is no span.
 */
export function airSpans(curve: Pick<Curve, "atMs" | "airC">, side: "frost" | "thaw"): TimeSpan[] {
  const readings = curve.atMs.map((atMs, index) => ({ atMs, airC: curve.airC[index] ?? null }));
  const pieces = readings
    .slice(1)
    .map((after, index) => pieceBetween(readings[index], after, side));
  const spans: TimeSpan[] = [];
  for (const piece of pieces) {
    const last = spans.at(-1);
    if (piece === undefined) continue;
    if (last?.toMs === piece.fromMs) last.toMs = piece.toMs;
    else spans.push(piece);
  }
  return spans;
}

/** The part of the time between two readings that lies on the side asked for. */
function pieceBetween(
  before: AirAt | undefined,
  after: AirAt,
  side: "frost" | "thaw",
): TimeSpan | undefined {
  const startC = before?.airC ?? null;
  if (before === undefined || startC === null || after.airC === null) return undefined;
  const isIn = (airC: number) => airC < 0 === (side === "frost");
  const [startsIn, endsIn] = [isIn(startC), isIn(after.airC)];
  if (startsIn && endsIn) return { fromMs: before.atMs, toMs: after.atMs };
  if (!startsIn && !endsIn) return undefined;
  const share = startC / (startC - after.airC);
  const crossingMs = before.atMs + (after.atMs - before.atMs) * share;
  const piece = startsIn
    ? { fromMs: before.atMs, toMs: crossingMs }
    : { fromMs: crossingMs, toMs: after.atMs };
  return piece.toMs > piece.fromMs ? piece : undefined;
}

const eventWords: Record<string, string> = {
  emptied: "emptied",
  "poured-off": "poured off",
  lifted: "lifted",
  "load-added": "load added",
  "load-off": "snow or load off",
  "leaned-on": "leaned on",
  spike: "knock",
};

export function marksFromEvents(events: CurveEvent[]): Mark[] {
  return events.map(({ atMs, kind }) => ({ atMs, words: eventWords[kind] ?? kind }));
}
