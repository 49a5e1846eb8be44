// The one span of time that all charts of a view show; moved by hand or by a choice, told once a frame.
import { keptWithin, type SpanLimits, type TimeSpan } from "./time-span.ts";

/** Who moved it. */
export type Mover = "hand" | "choice";

export type SpanControl = {
  span(): TimeSpan;
  limits(): SpanLimits;
  setLimits(limits: SpanLimits): void;
  show(span: TimeSpan, by: Mover): void;
  /** Calls back at most once a frame; returns the way to stop. */
  watch(seen: (span: TimeSpan, by: Mover) => void): () => void;
};

export function createSpanControl(
  start: { span: TimeSpan; limits: SpanLimits },
  inNextFrame: (work: () => void) => void = requestAnimationFrame,
): SpanControl {
  let { span, limits } = start;
  let mover: Mover | undefined;
  const watchers = new Set<(span: TimeSpan, by: Mover) => void>();
  function tell(): void {
    const by = mover ?? "choice";
    mover = undefined;
    for (const seen of watchers) seen(span, by);
  }
  return {
    span: () => span,
    limits: () => limits,
    setLimits(next) {
      limits = next;
    },
    show(next, by) {
      span = keptWithin(next, limits);
      const isWaiting = mover !== undefined;
      mover = by === "hand" ? by : (mover ?? by);
      if (!isWaiting) inNextFrame(tell);
    },
    watch(seen) {
      watchers.add(seen);
      return () => watchers.delete(seen);
    },
  };
}
