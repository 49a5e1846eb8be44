// The yard's time in the page: what the server said, run on at the yard's own speed.

/** The yard's time at one moment of the page's own steady clock (performance.now). */
export type ClockAnchor = { yardMs: number; pageMs: number; speed: number };

/** The yard's time now, epoch ms; before the server has spoken there is none. */
export function yardNowMs(anchor: ClockAnchor, pageMs: number): number {
  const passedMs = Math.max(0, pageMs - anchor.pageMs);
  return anchor.yardMs + passedMs * anchor.speed;
}
