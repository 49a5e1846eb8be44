// The demo's one scaled clock: it stands while the past is filled in, then runs fast for everyone.

export type ScaledClockState = {
  realNowMs: number;
  heldAtMs: number;
  /** Real time at which the yard's clock began to run; undefined while it stands. */
  runsFromRealMs: number | undefined;
  speed: number;
};

/** Yard time in epoch milliseconds; never earlier than the time the clock was held at. */
export function scaledClockMs({
  realNowMs,
  heldAtMs,
  runsFromRealMs,
  speed,
}: ScaledClockState): number {
  if (runsFromRealMs === undefined) return heldAtMs;
  return heldAtMs + Math.max(0, realNowMs - runsFromRealMs) * speed;
}
