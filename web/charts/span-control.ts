// The one span of time that all charts of a view show; moved by hand or by a choice, told once a frame.
import { keptWithin, type SpanLimits, type TimeSpan } from "./time-span.ts";

/** Who moved it. */
export type Mover = "hand" | "choice";

export type SpanControl = {
  span(): TimeSpan;
  limits(): SpanLimits;
  setLimits(limits: SpanLimits): void;
  /** What a hand holds, the going of time doesn't move: a choice counts once it is let go. */
  show(span: TimeSpan, by: Mover): void;
  /** The hand rests, or somebody has chosen. */
  letGo(): void;
  /** Calls back at most once a frame; returns the way to stop. */
  watch(seen: (span: TimeSpan, by: Mover) => void): () => void;
};

export function createSpanControl(
  start: { span: TimeSpan; limits: SpanLimits },
  inNextFrame: (work: () => void) => void = requestAnimationFrame,
): SpanControl {
  let { span, limits } = start;
  let mover: Mover | undefined;
  let isHeld = false;
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
      if (by === "hand") isHeld = true;
      else if (isHeld) return;
      span = keptWithin(next, limits);
      const isWaiting = mover !== undefined;
      mover = by;
      if (!isWaiting) inNextFrame(tell);
    },
    letGo() {
      isHeld = false;
    },
    watch(seen) {
      watchers.add(seen);
      return () => watchers.delete(seen);
    },
  };
}
