// One look at the whole yard: which alarm episodes open, change and end.

import { judgeEnding, seasonSubject } from "../season/ending.ts";
import type { SeasonHints } from "../season/hints.ts";
import { type BucketSituation, judgeBucket } from "./bucket-rules.ts";
import { type CareSituation, careUnseen, judgeCare } from "./care-rules.ts";
import { type Episode, type EpisodeStep, nextEpisodes } from "./episode.ts";
import { judgeVessel, type VesselSituation } from "./vessel-rules.ts";
import { type BoardSituation, judgeBoard, judgeStore, type StoreSituation } from "./yard-rules.ts";

const seasonUnseen = { standing: "unknown", kind: "ending", subject: seasonSubject } as const;

export type Situations = {
  buckets: readonly BucketSituation[];
  boards: readonly BoardSituation[];
  /** Null when the store is not looked at this time: its alarms stay. */
  store: StoreSituation | null;
  /** Left out when the server itself is not looked at this time. */
  care?: CareSituation;
  /** Left out when the season is not looked at this time. */
  season?: SeasonHints;
  vessels?: readonly VesselSituation[];
  timeZone: string;
};

/**
 * The episodes after the situations of nowMs, the time that the situations speak of. Each kind
 * raises by one rule and holds by a laxer one, so that flicker opens nothing twice.
 */
export function stepEpisodes(
  open: readonly Episode[],
  situations: Situations,
  nowMs: number,
): EpisodeStep {
  const reader = { nowMs, timeZone: situations.timeZone };
  const judgements = [
    ...situations.buckets.flatMap((bucket) => judgeBucket(bucket, reader)),
    ...situations.boards.flatMap((board) => judgeBoard(board, reader)),
    ...(situations.season === undefined ? [seasonUnseen] : judgeEnding(situations.season)),
    ...(situations.care === undefined ? careUnseen : judgeCare(situations.care, nowMs)),
    ...(situations.vessels ?? []).flatMap((vessel) => judgeVessel(vessel, reader)),
    ...judgeStore(situations.store ?? { freeBytes: null, problem: null }),
  ];
  return nextEpisodes(open, judgements, nowMs);
}
