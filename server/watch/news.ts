// What commits bring to which buckets, and how far back each has to go for it.
import type { LateMark } from "../db/late.ts";
import type { Roll } from "./roll.ts";
import type { Committed } from "./watch.ts";
import type { Watched } from "./watched.ts";

/** What came late before a crash or a stop, and was not gone through then. */
export function committedFromMark({ board, cellKey, fromMs }: LateMark): Committed {
  const span = { fromMs, untilMs: fromMs };
  if (cellKey === undefined) return { board, cells: [], probes: span };
  return { board, cells: [{ cellKey, ...span }] };
}

const newestMs = Number.MAX_SAFE_INTEGER;

export type News = {
  roll: Roll;
  /** Commits not looked at yet. */
  news: Committed[];
  /** Buckets with readings not gone through yet. */
  behind: Set<Watched>;
  /** Cells heard that no record speaks of; forgotten when records change. */
  strangers: Set<number>;
};

/** Until it has come through, all of it is looked at again: twice is the same as once. */
export function takeNews(inside: News): void {
  for (const { board, cells, probes } of inside.news) {
    for (const { cellKey, fromMs } of cells) {
      for (const watched of watchedOn(inside, cellKey)) follow(inside, watched, fromMs);
    }
    if (probes !== undefined) lookBackForAir(inside, board, probes.fromMs);
  }
  inside.news = [];
}

/** A reading older than what was gone through sends the bucket back to before it. */
function follow(inside: News, watched: Watched, fromMs: number): void {
  if (fromMs <= (watched.track.atMs ?? 0)) goBack(inside, watched, fromMs);
  fallBehind(inside, watched);
}

/** Readings from then on have to be gone through again. */
export function goBack(inside: News, watched: Watched, fromMs: number): void {
  watched.againFromMs = Math.min(watched.againFromMs ?? newestMs, fromMs);
  fallBehind(inside, watched);
}

/** There may be stored readings that it has not gone through. */
export function fallBehind({ behind }: Pick<News, "behind">, watched: Watched): void {
  watched.isBehind = true;
  behind.add(watched);
}

/** Readings dated ahead are gone through once their time has come; true when there are any. */
export function takeDue(inside: News, nowMs: number): boolean {
  const due = inside.roll
    .all()
    .filter(({ waitsForMs }) => waitsForMs !== undefined && waitsForMs <= nowMs);
  for (const watched of due) fallBehind(inside, watched);
  return due.length > 0;
}

/** A cell may be heard for the first time after a bucket was said to hang on it. */
function watchedOn({ roll, strangers }: News, cellKey: number): readonly Watched[] {
  const found = roll.onCell(cellKey);
  if (found.length > 0 || strangers.has(cellKey)) return found;
  roll.reload();
  const foundNow = roll.onCell(cellKey);
  if (foundNow.length === 0) strangers.add(cellKey);
  return foundNow;
}

/** A temperature older than readings already gone through changes what they meant. */
function lookBackForAir(inside: News, board: string, fromMs: number): void {
  for (const watched of inside.roll.all()) {
    const isOnBoard = watched.bucket.cell?.startsWith(`${board}/`) === true;
    if (isOnBoard && fromMs <= (watched.track.atMs ?? 0)) goBack(inside, watched, fromMs);
  }
}
