// Judges buckets and boards at a moment: assesses, looks for alarms, and remembers when it last did.
import type { Clock } from "../../shared/clock.ts";
import { msPerHour } from "../../shared/units.ts";
import type { YardSettings } from "../../shared/wire/api.ts";
import type { Boards } from "../db/boards.ts";
import type { ForecastStore } from "../db/forecast.ts";
import type { Readings } from "../db/readings.ts";
import type { BucketSituation } from "../domain/alarms/bucket-rules.ts";
import { type CareSituation, careSubjects } from "../domain/alarms/care-rules.ts";
import { type BoardSituation, boardSubject, storeSubject } from "../domain/alarms/yard-rules.ts";
import { nextVisits, type Visits } from "../domain/brim/visits.ts";
import type { AirPoint } from "../domain/keeping/air-ahead.ts";
import { seasonSubject } from "../domain/season/ending.ts";
import { brimPastOf } from "../domain/track.ts";
import type { AlarmDesk } from "./alarm-desk.ts";
import { type AssessInput, assess, estimateAt, stateAt } from "./assess.ts";
import type { RecordDesk } from "./record-desk.ts";
import type { Roll } from "./roll.ts";
import type { SeasonDesk } from "./season-desk.ts";
import { createToldBook, type ToldBook, type ToldBookParts } from "./told-book.ts";
import { presentHanging, presentSetup, setupFrom, type Watched } from "./watched.ts";

export type YardDeskParts = ToldBookParts & {
  clock: Clock;
  roll: Roll;
  alarmDesk: AlarmDesk;
  boards: Boards;
  readings: Readings;
  forecast: ForecastStore;
  settings: () => YardSettings;
  timeZone: () => string;
  freeBytes: () => number | null;
  /** Left out in parts of the program that don't mind the server. */
  care?: () => CareSituation;
  record: Pick<RecordDesk, "judged" | "undone">;
  season: SeasonDesk;
};

const outlookMs = 15 * 24 * msPerHour;
/** An outlook that ended tells more than that there is none. */
const endedMs = 3 * 24 * msPerHour;
/** So long after it was heard an outlook is new, and the air of a reading that of now. */
const newOutlookMs = 10 * 60_000;
const boardQuietMs = 10 * 60_000;
const boardSpeaksMs = 2 * 60_000;

type Desk = Omit<YardDeskParts, "told" | "airTold"> & {
  toldBook: ToldBook;
  visitsAt: { atMs: number; visits: Visits } | undefined;
  outlookAt: { atMs: number; outlook: AirPoint[] } | undefined;
  /** When a forecaster last sent one. */
  outlookHeardMs: number | undefined;
  /** By board: what it has run on at best since the start tells a battery from a plug. */
  highestSupplyV: Map<string, number>;
};

export type YardDesk = ReturnType<typeof createYardDesk>;

export function createYardDesk(parts: YardDeskParts) {
  const desk: Desk = {
    ...parts,
    toldBook: createToldBook(parts),
    visitsAt: undefined,
    outlookAt: undefined,
    outlookHeardMs: undefined,
    highestSupplyV: new Map(),
  };
  return {
    visits: (nowMs: number) => visitsFrom(desk, nowMs),
    /** The air to expect, hour by hour, as a forecaster sent it. */
    outlook: (nowMs: number) => outlookFrom(desk, nowMs),
    /** Forecast, keeping and alarms of one bucket as of `nowMs`; true when an alarm changed. */
    judgeBucket: (watched: Watched, nowMs: number) => judgeBucket(desk, watched, nowMs),
    /** All that a bucket is judged by; undefined where it hangs nowhere. */
    inputOf: (watched: Watched, nowMs: number) => inputOf(desk, watched, nowMs),
    /** Alarms of boards and of the store itself; true when one changed. */
    judgeBoards: (nowMs: number) => judgeBoards(desk, nowMs),
    /** What people set changed: nothing made of it before holds. */
    settingsChanged(): void {
      desk.visitsAt = undefined;
    },
    /** At `heardMs` when a forecaster sent another one. */
    outlookChanged(heardMs?: number): void {
      desk.outlookAt = undefined;
      desk.outlookHeardMs = heardMs ?? desk.outlookHeardMs;
    },
    /** The transaction in which it judged last is undone. */
    undone(): void {
      desk.alarmDesk.undone();
      desk.record.undone();
      desk.toldBook.undone();
    },
  };
}

function visitsFrom(desk: Desk, nowMs: number): Visits {
  if (desk.visitsAt?.atMs === nowMs) return desk.visitsAt.visits;
  const { visitTimes, tripLeadMin, quietFrom } = desk.settings();
  const timeZone = desk.timeZone();
  const visits = nextVisits({ nowMs, timeZone, visitTimes, tripLeadMin, quietFrom });
  desk.visitsAt = { atMs: nowMs, visits };
  return visits;
}

function outlookFrom(desk: Desk, nowMs: number): AirPoint[] {
  const hourMs = Math.floor(nowMs / msPerHour) * msPerHour;
  if (desk.outlookAt?.atMs === hourMs) return desk.outlookAt.outlook;
  const hours = desk.forecast.list({ fromMs: hourMs - endedMs, toMs: hourMs + outlookMs });
  const outlook = hours.flatMap(({ atMs, airC }) => (airC === null ? [] : [{ atMs, airC }]));
  desk.outlookAt = { atMs: hourMs, outlook };
  return outlook;
}

function inputOf(desk: Desk, watched: Watched, nowMs: number): AssessInput | undefined {
  const { bucket, track } = watched;
  const hanging = presentHanging(watched);
  if (hanging === undefined) return undefined;
  const others = desk.roll
    .all()
    .filter((other) => other !== watched && other.bucket.role === "sap");
  return {
    nowMs,
    bucketId: bucket.id,
    track,
    setup: setupFrom(hanging),
    role: bucket.role,
    fault: faultOf(desk, watched),
    visits: visitsFrom(desk, nowMs),
    warnProbability: desk.settings().warnProbability,
    yard: others.map((other) => brimPastOf(other.track)),
    outlook: outlookFrom(desk, nowMs),
    calibration: (hasOutlook) => desk.toldBook.calibration(nowMs, hasOutlook),
  };
}

function judgeBucket(desk: Desk, watched: Watched, nowMs: number): boolean {
  const { bucket } = watched;
  const input = inputOf(desk, watched, nowMs);
  if (input === undefined) return false;
  watched.assessment = assess(input);
  desk.toldBook.keep(bucket.id, watched.assessment);
  keepAir(desk, watched, input);
  keepRecord(desk, watched, nowMs);
  const buckets = [situationOf(desk, watched, nowMs)];
  const situations = { buckets, boards: [], store: null, timeZone: desk.timeZone() };
  return desk.alarmDesk.look(new Set([bucket.id]), situations, nowMs);
}

/** Only when it was just heard: of times gone by nobody knows what outlooks told then. */
function keepAir(desk: Desk, { bucket, track, assessment }: Watched, input: AssessInput): void {
  const { nowMs, outlook } = input;
  const isNew = Math.abs(nowMs - (desk.outlookHeardMs ?? 0)) < newOutlookMs;
  const { airC, atMs } = track;
  if (!isNew || assessment?.outlook !== "used" || airC === null || atMs === null) return;
  if (nowMs - atMs < newOutlookMs) desk.toldBook.keepAir(bucket.id, { atMs: nowMs, airC, outlook });
}

function keepRecord({ record }: Desk, { bucket, track, assessment }: Watched, nowMs: number): void {
  record.judged({
    bucketId: bucket.id,
    nowMs,
    said: bucket.parked ? null : (assessment?.said ?? null),
    lastSlotMs: track.lastSlotMs,
  });
}

/** A fault holds until the cell weighs again. */
function faultOf(desk: Desk, { track, hangings }: Watched): string | null {
  const cellKey = hangings.at(-1)?.cellKey ?? null;
  if (cellKey === null) return null;
  const fault = desk.readings.latestFault({ cellKey, atMs: desk.clock.nowMs() });
  return fault !== undefined && fault.atMs > (track.atMs ?? 0) ? fault.fault : null;
}

function situationOf(desk: Desk, watched: Watched, nowMs: number): BucketSituation {
  const { bucket, track, assessment } = watched;
  const setup = presentSetup(watched);
  return {
    subject: bucket.id,
    label: bucket.label,
    state: stateAt(watched, nowMs),
    estimate: estimateAt(track, setup, nowMs),
    setup,
    decision: assessment?.decision ?? null,
    warnProbability: desk.settings().warnProbability,
    keeping: assessment?.keeping ?? null,
    lastReadingMs: track.atMs,
    fault: assessment?.fault ?? null,
    boardSilent: isBoardQuietOrBehind(desk, bucket.cell?.split("/")[0] ?? "", nowMs),
  };
}

/** A board that is silent, or that is still sending a backlog, says nothing of one cell alone. */
function isBoardQuietOrBehind(desk: Desk, board: string, nowMs: number): boolean {
  const heardMs = desk.boards.lastHeardMs(board);
  if (heardMs === undefined || nowMs - heardMs > boardQuietMs) return true;
  if (nowMs - heardMs > boardSpeaksMs) return false;
  const onBoard = desk.roll.all().filter(({ bucket }) => bucket.cell?.startsWith(`${board}/`));
  return onBoard.every(({ track }) => nowMs - (track.atMs ?? 0) > boardQuietMs);
}

function judgeBoards(desk: Desk, nowMs: number): boolean {
  const boards = desk.boards.listBoards().map(({ name, lastHeardMs }): BoardSituation => {
    const supplyV =
      desk.readings.latestValue({ board: name, quantity: "supply", atMs: nowMs })?.value ?? null;
    const silent = nowMs - lastHeardMs > boardQuietMs;
    const highestSupplyV = highestSupply(desk, name, supplyV);
    return { board: name, silent, lastHeardMs, supplyV, highestSupplyV };
  });
  const store = { freeBytes: desk.freeBytes(), problem: null };
  const season = desk.season.hints(nowMs);
  const ofBoards = boards.map(({ board }) => boardSubject(board));
  const care = desk.care?.();
  const ofCare = care === undefined ? [] : careSubjects;
  const subjects = new Set([...ofBoards, storeSubject, seasonSubject, ...ofCare]);
  const situations = {
    buckets: [],
    boards,
    store,
    season,
    timeZone: desk.timeZone(),
    ...(care === undefined ? {} : { care }),
  };
  return desk.alarmDesk.look(subjects, situations, nowMs);
}

function highestSupply(desk: Desk, board: string, supplyV: number | null): number | null {
  const before = desk.highestSupplyV.get(board) ?? null;
  if (supplyV === null || (before !== null && before >= supplyV)) return before;
  desk.highestSupplyV.set(board, supplyV);
  return supplyV;
}
