// Puts the parts of the first screen together as they are at one moment.
import type { Clock } from "../../shared/clock.ts";
import { localParts } from "../../shared/local-time.ts";
import { doNowSentence } from "../../shared/people/sentence.ts";
import type { BucketView, DoNow, YardSettings, YardView } from "../../shared/wire/api.ts";
import type { Boards } from "../db/boards.ts";
import type { Readings } from "../db/readings.ts";
import { doNow } from "../domain/do-now.ts";
import type { AlarmDesk } from "./alarm-desk.ts";
import type { Roll } from "./roll.ts";
import type { VesselDesk } from "./vessel-desk.ts";
import type { Watched } from "./watched.ts";
import type { YardDesk } from "./yard-desk.ts";
import { boardViews, bucketSummary, bucketView, newCells } from "./yard-view.ts";

export type ViewParts = {
  clock: Clock;
  boards: Boards;
  readings: Readings;
  roll: Roll;
  alarmDesk: AlarmDesk;
  yardDesk: YardDesk;
  vesselDesk: VesselDesk;
  settings: () => YardSettings;
  /** The zone that the page is told: null when it is to say its own. */
  setTimeZone: () => string | null;
  timeZone: () => string;
  simulated: boolean;
};

export type Views = ReturnType<typeof createViews>;

export function createViews(parts: ViewParts) {
  return {
    bucket: (watched: Watched, nowMs: number) => bucketAt(parts, watched, nowMs),
    boards: (nowMs: number) => boardsAt(parts, nowMs),
    yard: (nowMs: number, pausedUntilMs: number | undefined) => yardAt(parts, nowMs, pausedUntilMs),
    vessels: (nowMs: number) => parts.vesselDesk.views(nowMs),
    season: (nowMs: number) => seasonAt(parts, nowMs),
    doNow: (nowMs: number, boards: YardView["boards"]) => doNowAt(parts, nowMs, boards),
  };
}

function bucketAt(parts: ViewParts, watched: Watched, nowMs: number): BucketView {
  const { dayKey } = localParts(nowMs, parts.timeZone());
  const alarms = parts.alarmDesk.kindsOf(watched.bucket.id);
  return bucketView(watched, { nowMs, tree: parts.roll.treeOf(watched), alarms, dayKey });
}

function boardsAt(parts: ViewParts, nowMs: number): YardView["boards"] {
  return boardViews(parts, { nowMs, bucketOnCell: parts.roll.onCellNow() });
}

function yardAt(
  parts: ViewParts,
  nowMs: number,
  pausedUntilMs: number | undefined,
): YardView["yard"] {
  return {
    ...parts.settings(),
    timeZone: parts.setTimeZone(),
    simulated: parts.simulated,
    clockSpeed: parts.clock.speed,
    pausedUntilMs: pausedUntilMs !== undefined && pausedUntilMs > nowMs ? pausedUntilMs : null,
  };
}

function seasonAt(parts: ViewParts, nowMs: number): YardView["season"] {
  const firstMs = parts.roll
    .all()
    .reduce((first, { track }) => Math.min(first, track.firstMs ?? first), Number.MAX_VALUE);
  return {
    year: Number(localParts(nowMs, parts.timeZone()).dayKey.slice(0, 4)),
    firstReadingMs: firstMs === Number.MAX_VALUE ? null : firstMs,
  };
}

function doNowAt(parts: ViewParts, nowMs: number, boards: YardView["boards"]): DoNow {
  const { units } = parts.settings();
  const vessels = parts.vesselDesk.views(nowMs);
  const doNowParts = doNow({
    buckets: parts.roll
      .all()
      .map((watched) => bucketSummary(watched, bucketAt(parts, watched, nowMs))),
    newCells: newCells(boards),
    nowMs,
    visits: parts.yardDesk.visits(nowMs),
    vessels,
  });
  const labelOf = (id: string) => parts.roll.find(id)?.bucket.label ?? id;
  const vesselLabelOf = (id: string) => vessels.find((one) => one.id === id)?.label ?? id;
  const context = { units, timeZone: parts.timeZone(), nowMs, labelOf, vesselLabelOf };
  return { sentence: doNowSentence(doNowParts, context), parts: doNowParts };
}
