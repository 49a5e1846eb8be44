// Watches the yard: committed readings in; flow, forecasts, alarms and the view of it all out.
import type { Clock } from "../../shared/clock.ts";
import { AppError } from "../../shared/errors.ts";
import type { Compare, Curve, YardSettings, YardView } from "../../shared/wire/api.ts";
import type { CorrectionPreview } from "../../shared/wire/corrections.ts";
import type { AfterThaw, Ahead, TreeCurves } from "../../shared/wire/curves.ts";
import type { YardChange } from "../../shared/wire/live.ts";
import type { WarningRecord } from "../../shared/wire/record.ts";
import type { NextRound } from "../../shared/wire/rounds.ts";
import type { ComingRuns } from "../../shared/wire/tapping.ts";
import type { VesselLine } from "../../shared/wire/vessels.ts";
import type { AlarmStore } from "../db/alarms.ts";
import type { Boards } from "../db/boards.ts";
import type { ForecastStore } from "../db/forecast.ts";
import type { ForecastSaidStore } from "../db/forecast-said.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { LateStore } from "../db/late.ts";
import type { PourStore } from "../db/pours.ts";
import type { Readings } from "../db/readings.ts";
import type { RoundStore } from "../db/rounds.ts";
import type { Sqlite } from "../db/sqlite.ts";
import type { SugarStore } from "../db/sugars.ts";
import type { Tracks } from "../db/tracks.ts";
import type { VesselStore } from "../db/vessels.ts";
import type { WetStore } from "../db/wets.ts";
import type { CareSituation } from "../domain/alarms/care-rules.ts";
import type { ScaleSpan } from "../domain/correction.ts";
import type { SeasonHints } from "../domain/season/hints.ts";
import type { Log } from "../log.ts";
import { aheadOf } from "./ahead.ts";
import { type AlarmDesk, type AlarmDeskParts, createAlarmDesk } from "./alarm-desk.ts";
import { type Announcer, createAnnouncer } from "./announcer.ts";
import { compareOver } from "./compare.ts";
import {
  bucketsUnder,
  type PreviewParts,
  previewCorrection,
  type Wish,
} from "./correction-preview.ts";
import { type CurveSpan, curveOf } from "./curve.ts";
import { createFollower, type Follower } from "./follower.ts";
import { createRainDesk } from "./rain-desk.ts";
import { createRecordDesk } from "./record-desk.ts";
import { createRoll, type Roll, type RollParts } from "./roll.ts";
import { planNextRound } from "./round-desk.ts";
import { createSeasonDesk } from "./season-desk.ts";
import { comingRunsOf } from "./tapping.ts";
import type { ToldBookParts } from "./told-book.ts";
import { afterThawOf, treeCurvesOf } from "./tree-curves.ts";
import { createVesselDesk, type VesselDesk } from "./vessel-desk.ts";
import { createViews } from "./views.ts";
import type { Watched } from "./watched.ts";
import { createYardDesk, type YardDesk } from "./yard-desk.ts";

/** What a commit brought, cell by cell; times in ascending order are not promised. */
export type Committed = {
  board: string;
  cells: { cellKey: number; fromMs: number; untilMs: number }[];
  /** Earliest and latest time of anything but masses (temperatures, pressures, faults). */
  probes?: { fromMs: number; untilMs: number };
};

export type Watch = {
  /** All that the first screen shows. */
  yardView(): YardView;
  /** A bucket's curve; throws AppError "not-found" for an unknown bucket. */
  curve(bucketId: string, span: CurveSpan): Curve;
  /** What may stand in a bucket hour by hour; throws AppError "not-found" for an unknown bucket. */
  ahead(bucketId: string): Ahead;
  /** All trees on one time axis. */
  treeCurves(span: CurveSpan): TreeCurves;
  /** How each tree ran after the thaws of a span. */
  afterThaw(span: { fromMs: number; toMs: number }): AfterThaw;
  compare(span: { fromMs: number; toMs: number }): Compare;
  /** How well the warnings did so far. */
  record(): WarningRecord;
  /** What speaks for the season's end. */
  seasonHints(): SeasonHints;
  /** Freeze and thaw of the days ahead, what they may bring, and when to tap. */
  comingRuns(): ComingRuns;
  /** Readings were committed (called by ingest right after each commit). */
  committed(batch: Committed[]): void;
  /** A board came, went or changed its program. */
  boardChanged(board: string): void;
  /** People changed records; a bucket's past has to be gone through again from `fromMs`. */
  recordsChanged(change?: { bucketId: string; fromMs: number }): void;
  /** What a corrected calibration would make of the past, with nothing changed yet. */
  previewCorrection(wish: Wish): Promise<CorrectionPreview>;
  /** A correction was made or undone: all that hung on its cell is gone through again. */
  cellCorrected(correction: ScaleSpan): void;
  /** A forecaster sent another outlook. */
  outlookChanged(): void;
  /** A vessel, a pour or a tree's sugar changed. */
  vesselsChanged(): void;
  /** What went into and out of a vessel, newest first. */
  vesselLines(vesselId: string): VesselLine[];
  /** Which buckets to gather now, and how. */
  nextRound(): NextRound;
  /** Holds all notices until then; undefined ends the pause. */
  pause(untilMs: number | undefined): void;
  markSeen(alarmId: number): void;
  /** Publishes what is open of every bucket, for who subscribes: to be called once the broker runs. */
  publishNotes(): void;
  /** Called with what changed, as often as it changes; returns the way to stop listening. */
  onChange(listener: (change: YardChange) => void): () => void;
  /** Resolves when all that is stored has been gone through. */
  settled(): Promise<void>;
  start(): void;
  stop(): void;
};

export type WatchParts = RollParts &
  ToldBookParts &
  Pick<AlarmDeskParts, "sendNotice" | "tellPeople" | "publishNote"> & {
    sqlite: Sqlite;
    clock: Clock;
    log: Log;
    readings: Readings;
    boards: Boards;
    tracks: Tracks;
    gatherings: GatheringStore;
    vessels: VesselStore;
    pours: PourStore;
    rounds: RoundStore;
    sugars: SugarStore;
    alarms: AlarmStore;
    forecast: ForecastStore;
    forecastSaid: ForecastSaidStore;
    wets: WetStore;
    late: LateStore;
    settings: () => YardSettings;
    /** The zone that holds when nobody set one in the page. */
    timeZone: string | null;
    simulated: boolean;
    freeBytes: () => number | null;
    care?: () => CareSituation;
    retryMs?: number;
  };

const tickMs = 1000;

export function createWatch(parts: WatchParts): Watch {
  const { clock } = parts;
  const setTimeZone = () => parts.timeZone ?? parts.settings().timeZone;
  const timeZone = () => setTimeZone() ?? "UTC";
  const desks = createDesks({ ...parts, timeZone });
  const { roll, alarmDesk, yardDesk, vesselDesk, record, season } = desks;
  const views = createViews({ ...parts, ...desks, timeZone, setTimeZone });
  const announcer = createAnnouncer({ ...parts, roll, alarmDesk, views });
  const undone = () => {
    yardDesk.undone();
    vesselDesk.changed();
  };
  const follower = createFollower({ ...parts, ...desks, announcer, timeZone, undone });
  const look = createLook({ ...parts, follower, ...desks, announcer, undone });
  const recordsChanged: Watch["recordsChanged"] = (change) => {
    yardDesk.settingsChanged();
    yardDesk.outlookChanged();
    vesselDesk.changed();
    announcer.recordsChanged(follower.recordsChanged(change));
  };
  let timer: NodeJS.Timeout | undefined;
  return {
    yardView: announcer.yardView,
    ...createCurves({ ...parts, roll, timeZone, yardDesk }),
    record: () => record.record(clock.nowMs()),
    seasonHints: () => season.hints(clock.nowMs()),
    committed: follower.committed,
    boardChanged: announcer.boardsChanged,
    recordsChanged,
    ...createCorrecting({ ...parts, roll, timeZone, follower, announcer, recordsChanged }),
    outlookChanged() {
      yardDesk.outlookChanged(clock.nowMs());
      follower.judgeAnew();
    },
    vesselsChanged() {
      vesselDesk.changed();
      announcer.vesselsChanged();
    },
    nextRound: () => planNextRound({ ...parts, ...desks, views }, clock.nowMs()),
    vesselLines: (vesselId) => vesselDesk.lines(vesselId, clock.nowMs()),
    pause: announcer.pause,
    markSeen(alarmId) {
      alarmDesk.markSeen(alarmId, clock.nowMs());
      announcer.alarmsChanged();
    },
    onChange: announcer.onChange,
    settled: follower.settled,
    publishNotes: () => alarmDesk.publishAll(roll.all().map(({ bucket }) => bucket.id)),
    start() {
      alarmDesk.start();
      follower.start();
      timer = setInterval(look, tickMs);
    },
    stop() {
      clearInterval(timer);
      follower.stop();
      announcer.stop();
    },
  };
}

type CurveParts = Omit<WatchParts, "timeZone"> & {
  roll: Roll;
  yardDesk: YardDesk;
  timeZone: () => string;
};

/** What is drawn and compared, over spans that a person chooses. */
function createCurves(
  parts: CurveParts,
): Pick<Watch, "curve" | "ahead" | "treeCurves" | "afterThaw" | "compare" | "comingRuns"> {
  const { roll, yardDesk, clock } = parts;
  return {
    curve: (bucketId, span) => curveOf(parts, requireBucket(roll, bucketId), span),
    ahead: (bucketId) => aheadOf(yardDesk, requireBucket(roll, bucketId), clock.nowMs()),
    treeCurves: (span) => treeCurvesOf(parts, span),
    afterThaw: (span) => afterThawOf(parts, span),
    compare: (span) => compareOver(parts, span),
    comingRuns: () => comingRunsOf(parts),
  };
}

type CorrectingParts = PreviewParts & {
  follower: Follower;
  announcer: Announcer;
  recordsChanged: Watch["recordsChanged"];
};

function createCorrecting(
  parts: CorrectingParts,
): Pick<Watch, "previewCorrection" | "cellCorrected"> {
  return {
    async previewCorrection(wish) {
      // What is compared with is to be complete.
      await parts.follower.settled();
      return previewCorrection(parts, wish);
    },
    cellCorrected(correction) {
      for (const { bucket } of bucketsUnder(parts.roll, correction)) {
        parts.recordsChanged({ bucketId: bucket.id, fromMs: correction.fromMs });
      }
      parts.announcer.boardsChanged();
    },
  };
}

function createDesks(parts: Omit<WatchParts, "timeZone"> & { timeZone: () => string }) {
  const roll = createRoll(parts);
  const alarmDesk = createAlarmDesk(parts);
  const record = createRecordDesk(parts);
  const season = createSeasonDesk({ ...parts, roll });
  const yardDesk = createYardDesk({ ...parts, roll, alarmDesk, record, season });
  const { outlook } = yardDesk;
  const vesselDesk = createVesselDesk({ ...parts, roll, alarmDesk, outlook });
  const rainDesk = createRainDesk({ ...parts, roll });
  return { roll, alarmDesk, yardDesk, vesselDesk, record, season, rainDesk };
}

function requireBucket(roll: Roll, bucketId: string): Watched {
  const watched = roll.find(bucketId);
  if (watched !== undefined) return watched;
  throw new AppError("not-found", `bucket requires one that exists, got ${bucketId}`);
}

/** What the passing of time alone brings: silence, boil-by drawing near, notices that were held. */
function createLook(parts: {
  sqlite: Sqlite;
  clock: Clock;
  log: Log;
  follower: Follower;
  yardDesk: YardDesk;
  alarmDesk: AlarmDesk;
  vesselDesk: VesselDesk;
  announcer: Announcer;
  undone: () => void;
}): () => void {
  const { announcer, alarmDesk } = parts;
  const judge = parts.sqlite.transaction((nowMs: number) => {
    parts.follower.judgeQuiet(nowMs);
    if (parts.yardDesk.judgeBoards(nowMs)) announcer.alarmsChanged();
    const vessels = parts.vesselDesk.judge(nowMs);
    if (vessels.alarmsChanged) announcer.alarmsChanged();
    if (vessels.viewsChanged) announcer.vesselsChanged();
  });
  return () => {
    const nowMs = parts.clock.nowMs();
    try {
      judge(nowMs);
      alarmDesk.notify(nowMs, announcer.pausedUntilMs());
      announcer.timePassed();
    } catch (error) {
      // A store that can't be written must not end the server: it is tried again with the next look.
      parts.log.error("yard not looked at", { problem: String(error) });
      parts.undone();
    }
  };
}
