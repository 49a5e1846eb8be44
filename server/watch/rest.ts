// How long the follower rests before it takes up what was committed.

export type Commits = { commitMs: number; commitBeforeMs: number; caughtUpMs: number };

/** Fifty buckets that each weigh by themselves every five seconds come 100 ms apart: that is not thick. */
const thickMs = 60;
const longestRestMs = 500;

/**
 * While commits come thick and fast it waits for more to go through at once, never longer than
 * `longestRestMs`, and only when it had caught up: it does not fall further and further behind.
 */
export function restFrom(
  { commitMs, commitBeforeMs, caughtUpMs }: Commits,
  realMs: number,
): number {
  const isThick = commitMs - commitBeforeMs < thickMs && realMs - commitMs < thickMs;
  return isThick ? Math.min(thickMs, caughtUpMs + longestRestMs - realMs) : 0;
}
