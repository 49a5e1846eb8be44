// Lets charts be drawn anew a few a frame, so that twenty of them with new figures don't hold up the hand.

const perFrame = 4;
const waiting = new Map<object, () => void>();

/** Does the work in one of the next frames; a later one for the same chart takes its place. */
export function inTurn(chart: object, work: () => void): void {
  if (waiting.size === 0) requestAnimationFrame(someOfThem);
  waiting.set(chart, work);
}

/** For a chart that is gone. */
export function notAnyMore(chart: object): void {
  waiting.delete(chart);
}

function someOfThem(): void {
  for (const [chart, work] of [...waiting].slice(0, perFrame)) {
    waiting.delete(chart);
    work();
  }
  if (waiting.size > 0) requestAnimationFrame(someOfThem);
}
