// Sums up what the packs of one commit brought, board by board, for those who wait for it.
import type { Kept } from "../../shared/wire/topics.ts";
import type { Committed } from "../watch/watch.ts";
import { type Outcome, widened } from "./write-pack.ts";

type Sum = Pick<Outcome, "cells" | "others">;

/** One entry for each board that has new readings. */
export function committedFrom(outcomes: Outcome[]): Committed[] {
  const byBoard = new Map<string, Sum>();
  for (const { board, stored, cells, others } of outcomes) {
    if (stored === 0) continue;
    const sum = byBoard.get(board) ?? { cells: new Map(), others: undefined };
    byBoard.set(board, sum);
    for (const [cellKey, { fromMs, untilMs }] of cells) {
      sum.cells.set(cellKey, widened(sum.cells.get(cellKey), fromMs, untilMs));
    }
    if (others !== undefined) sum.others = widened(sum.others, others.fromMs, others.untilMs);
  }
  return [...byBoard].map(([board, { cells, others }]) => ({
    board,
    cells: [...cells].map(([cellKey, range]) => ({ cellKey, ...range })),
    ...(others === undefined ? {} : { probes: others }),
  }));
}

/** The last `kept` of each board and spool. */
export function keptFrom(outcomes: Outcome[], store: string): { board: string; kept: Kept }[] {
  const bySpool = new Map<string, { board: string; kept: Kept }>();
  for (const { board, kept } of outcomes) {
    if (kept === undefined) continue;
    const { spool, through } = kept;
    bySpool.set(`${board}/${spool}`, { board, kept: { v: 1, store, spool, through } });
  }
  return [...bySpool.values()];
}
