// Remembers for a while what each board's packs said of the time.
import type { Clock } from "../../shared/clock.ts";
import { clockAheadMs, type PackTime, packTimesMs } from "../domain/care/clocks.ts";

export type ClockWatch = {
  /** A pack came whose newest record is of `newestMs`. */
  heard(board: string, newestMs: number): void;
  /** How far the board's clock is ahead of the server's; null when its packs don't tell. */
  aheadMs(board: string): number | null;
};

/** One in ten seconds is enough to tell, however fast a board talks. */
const restMs = 10_000;
const mostBoards = 1000;

export function createClockWatch(clock: Clock): ClockWatch {
  const heard = new Map<string, PackTime[]>();
  return {
    heard(board, newestMs) {
      const atMs = clock.nowMs();
      const times = heard.get(board) ?? [];
      const last = times.at(-1);
      if (last !== undefined && Math.abs(atMs - last.atMs) < restMs) {
        last.aheadMs = Math.max(last.aheadMs, newestMs - atMs);
        return;
      }
      if (heard.size >= mostBoards) heard.clear();
      const recent = times.filter((time) => Math.abs(atMs - time.atMs) <= packTimesMs);
      heard.set(board, [...recent, { atMs, aheadMs: newestMs - atMs }]);
    },
    aheadMs: (board) => clockAheadMs(heard.get(board) ?? [], clock.nowMs()),
  };
}
