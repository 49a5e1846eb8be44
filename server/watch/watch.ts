// Watches the yard: committed readings in; flow, forecasts, alarms and the view of it all out.
import type { Compare, Curve, YardView } from "../../shared/wire/api.ts";
import type { YardChange } from "../../shared/wire/live.ts";

/** What a commit brought, cell by cell; times in ascending order are not promised. */
export type Committed = {
  board: string;
  cells: { cellKey: number; fromMs: number; untilMs: number }[];
  /** Earliest and latest time of anything but masses (temperatures, pressures, faults). */
  probes?: { fromMs: number; untilMs: number };
};

export type Watch = {
  /** All that the first screen shows. */
  yardView(): YardView;
  /** A bucket's curve; throws AppError "not-found" for an unknown bucket. */
  curve(bucketId: string, span: { fromMs: number; toMs: number; stepMs?: number }): Curve;
  compare(span: { fromMs: number; toMs: number }): Compare;
  /** Readings were committed (called by ingest right after each commit). */
  committed(batch: Committed[]): void;
  /** A board came, went or changed its program. */
  boardChanged(board: string): void;
  /** People changed records; a bucket's past has to be gone through again from `fromMs`. */
  recordsChanged(change?: { bucketId: string; fromMs: number }): void;
  /** Holds all notices until then; undefined ends the pause. */
  pause(untilMs: number | undefined): void;
  markSeen(alarmId: number): void;
  /** Called with what changed, as often as it changes; returns the way to stop listening. */
  onChange(listener: (change: YardChange) => void): () => void;
  start(): void;
  stop(): void;
};
