// Goes on with the clock: takes what is due, in real time or as fast as the demo runs.
import { setImmediate as nextTurn } from "node:timers/promises";
import type { Clock } from "../shared/clock.ts";
import { msPerMinute } from "../shared/units.ts";
import type { Log } from "./log.ts";

type LiveSettings = {
  clock: Clock;
  log: Log;
  fromMs: number;
  collectors: readonly { collect(untilMs: number): void }[];
};

/** Real time between two looks at what is due, at the least. */
const leastTickMs = 50;
const tickYardMs = 5_000;
/** After a long sleep of the machine, what is due is made up for in slices of this length. */
const sliceMs = 30 * msPerMinute;

export function startLive({ clock, log, fromMs, collectors }: LiveSettings): { stop(): void } {
  let doneMs = fromMs;
  let timer: NodeJS.Timeout | undefined;
  let stopped = false;
  let setBack = false;

  /** Times rise whatever the clock does: while it is behind, each look counts as one step. */
  function nextUntilMs(stepYardMs: number): number {
    const nowMs = clock.nowMs();
    const isBehind = nowMs < doneMs - stepYardMs;
    if (isBehind && !setBack) {
      log.warn("the clock was set back: times go on from before", { byMs: doneMs - nowMs });
    }
    setBack = isBehind;
    return isBehind ? doneMs + stepYardMs : nowMs;
  }

  async function collectUntil(untilMs: number): Promise<void> {
    while (doneMs < untilMs && !stopped) {
      doneMs = Math.min(untilMs, doneMs + sliceMs);
      for (const board of collectors) board.collect(doneMs);
      await nextTurn();
    }
  }

  async function tick(): Promise<void> {
    const stepYardMs = Math.max(tickYardMs, leastTickMs * clock.speed);
    await collectUntil(nextUntilMs(stepYardMs));
    if (!stopped) timer = setTimeout(runTick, waitMs(clock, stepYardMs));
  }
  function runTick(): void {
    tick().catch((error: unknown) => {
      log.error("reading failed", { problem: String(error) });
      if (!stopped) timer = setTimeout(runTick, tickYardMs);
    });
  }
  runTick();
  return {
    stop() {
      stopped = true;
      clearTimeout(timer);
    },
  };
}

/** Real time until the yard's clock reaches the next whole step. */
function waitMs(clock: Clock, stepYardMs: number): number {
  const leftYardMs = stepYardMs - (clock.nowMs() % stepYardMs);
  return Math.max(1, leftYardMs / clock.speed);
}
