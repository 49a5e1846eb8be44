// Paces the changes one page gets: at once, then merged, never more than it takes.
import type { YardChange } from "../../shared/wire/live.ts";
import { mergeChange } from "./merge.ts";

export type FeedParts = {
  send(change: YardChange): void;
  /** False while the page hasn't taken what was sent before. */
  isDrained(): boolean;
  restMs: number;
};

export type Feed = { push(change: YardChange): void; stop(): void };

/**
 * The first change goes at once; those within `restMs` after it are merged into one. While the
 * page is slow to take what it was sent, changes go on being merged, so that at most one waits.
 */
export function createFeed({ send, isDrained, restMs }: FeedParts): Feed {
  let waiting: YardChange | undefined;
  let resting: NodeJS.Timeout | undefined;

  function sendNow(change: YardChange): void {
    waiting = undefined;
    send(change);
    rest();
  }

  function rest(): void {
    resting = setTimeout(() => {
      resting = undefined;
      if (waiting === undefined) return;
      if (isDrained()) sendNow(waiting);
      else rest();
    }, restMs);
  }

  return {
    push(change: YardChange): void {
      waiting = waiting === undefined ? change : mergeChange(waiting, change);
      if (resting !== undefined) return;
      if (isDrained()) sendNow(waiting);
      else rest();
    },
    stop(): void {
      clearTimeout(resting);
      resting = undefined;
      waiting = undefined;
    },
  };
}
