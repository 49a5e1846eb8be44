// Keeps the episodes of alarms: opens, changes and ends them in the store and tells who should know.
import type { Clock } from "../../shared/clock.ts";
import { msPerMinute } from "../../shared/units.ts";
import type { AlarmKind, AlarmView, YardSettings } from "../../shared/wire/api.ts";
import type { AlarmNote } from "../../shared/wire/topics.ts";
import type { AlarmStore, StoredAlarm } from "../db/alarms.ts";
import { type Situations, stepEpisodes } from "../domain/alarms/conditions.ts";
import type { Episode } from "../domain/alarms/episode.ts";
import { noticeDue, type SentNotice, sentNotice } from "../domain/alarms/notices.ts";

export type Notice = Pick<Episode, "kind" | "subject" | "severity" | "text"> & { atMs: number };

export type AlarmDeskParts = {
  clock: Clock;
  alarms: AlarmStore;
  settings: () => YardSettings;
  timeZone: () => string;
  /** Tells people; what becomes of it is the notifier's business. */
  sendNotice: (notice: Notice) => void;
  /** Tells people who have wishes of their own; left out in parts of the program without them. */
  tellPeople?: (
    alarms: readonly { id: number; episode: Episode }[],
    when: { nowMs: number; pausedUntilMs: number | null },
  ) => void;
  /** Publishes what is wrong with one bucket; undefined when all is well with it. */
  publishNote: (bucketId: string, note: AlarmNote | undefined) => void;
};

/** What is kept beside an alarm, so that a restart neither repeats nor forgets a notice. */
type Kept = {
  episode: Episode;
  lastNotice: SentNotice | null;
  /** When it was raised by the server's clock, be the readings of then or of long ago. */
  foundAtMs?: number;
};
type OpenAlarm = Kept & { id: number; seenAtMs: number | null };

type Desk = AlarmDeskParts & {
  open: OpenAlarm[];
  /** What was written last is undone: only the store knows which are open. */
  isUndone: boolean;
};

export type AlarmDesk = ReturnType<typeof createAlarmDesk>;

export function createAlarmDesk(parts: AlarmDeskParts) {
  const desk: Desk = { ...parts, open: [], isUndone: false };
  const of = (subject: string) => openOf(desk).filter(({ episode }) => episode.subject === subject);
  return {
    start(): void {
      desk.open = parts.alarms.listOpen().map(openAlarmFrom);
    },
    /** The transaction in which it looked last is undone. */
    undone(): void {
      desk.isUndone = true;
    },
    /**
     * Looks at some subjects at a time that their situations speak of; true when anything changed. To
     * be called in a transaction, and `undone` when that fails.
     */
    look: (subjects: ReadonlySet<string>, situations: Situations, atMs: number): boolean =>
      look(desk, { subjects, situations, atMs }),
    /** Sends what is due now. */
    notify(nowMs: number, pausedUntilMs: number | null): void {
      for (const alarm of openOf(desk)) notify(desk, alarm, { nowMs, pausedUntilMs });
      desk.tellPeople?.(desk.open, { nowMs, pausedUntilMs });
    },
    kindsOf: (subject: string): AlarmKind[] => of(subject).map(({ episode }) => episode.kind),
    /** Those open now, as the page shows them. */
    list: (): AlarmView[] => openOf(desk).map(viewFrom),
    markSeen(id: number, atMs: number): void {
      parts.alarms.markSeen(id, atMs);
      for (const alarm of openOf(desk)) if (alarm.id === id) alarm.seenAtMs ??= atMs;
    },
    /** A broker that was started anew knows of no alarm: says again how each bucket is. */
    publishAll(bucketIds: readonly string[]): void {
      for (const bucketId of bucketIds) publish(desk, bucketId);
    },
  };
}

function openOf(desk: Desk): OpenAlarm[] {
  if (!desk.isUndone) return desk.open;
  const before = desk.open;
  desk.open = desk.alarms.listOpen().map(openAlarmFrom);
  desk.isUndone = false;
  // What was said of them was said too early.
  const told = new Set([...before, ...desk.open].map(({ episode }) => episode.subject));
  for (const subject of told) publish(desk, subject);
  return desk.open;
}

function look(
  desk: Desk,
  looked: { subjects: ReadonlySet<string>; situations: Situations; atMs: number },
): boolean {
  const { subjects, situations, atMs } = looked;
  const isLookedAt = ({ episode }: OpenAlarm) => subjects.has(episode.subject);
  const before = openOf(desk).filter(isLookedAt);
  const episodes = before.map(({ episode }) => episode);
  const step = stepEpisodes(episodes, situations, atMs);
  for (const cleared of step.cleared) desk.alarms.clear(find(before, cleared)?.id ?? -1, atMs);
  const now = step.open.map((episode) => {
    const known = find(before, episode);
    if (known === undefined) return insert(desk, episode);
    const alarm = { ...known, episode };
    if (step.changed.includes(episode)) write(desk, alarm);
    return alarm;
  });
  desk.open = [...desk.open.filter((alarm) => !isLookedAt(alarm)), ...now];
  const changed = step.raised.length + step.changed.length + step.cleared.length > 0;
  if (changed) for (const { subject } of situations.buckets) publish(desk, subject);
  return changed;
}

function notify(
  desk: Desk,
  alarm: OpenAlarm,
  { nowMs, pausedUntilMs }: { nowMs: number; pausedUntilMs: number | null },
): void {
  const { episode, lastNotice } = alarm;
  const reader = { settings: desk.settings(), timeZone: desk.timeZone() };
  if (noticeDue({ episode, lastNotice, nowMs, pausedUntilMs, ...reader }) !== "send") return;
  // What couldn't be written is not sent: it is tried again with the next look.
  const sent = sentNotice(episode, nowMs);
  write(desk, { ...alarm, lastNotice: sent });
  alarm.lastNotice = sent;
  const { kind, subject, severity, text } = episode;
  desk.sendNotice({ kind, subject, severity, text, atMs: nowMs });
}

function insert({ alarms, clock }: Desk, episode: Episode): OpenAlarm {
  const kept: Kept = { episode, lastNotice: null, foundAtMs: clock.nowMs() };
  const id = alarms.insert({ ...newAlarm(episode), noticed: kept });
  return { ...kept, id, seenAtMs: null };
}

function write({ alarms }: Desk, { id, seenAtMs: _, ...kept }: OpenAlarm): void {
  const { episode } = kept;
  alarms.update(id, { ...newAlarm(episode), noticed: kept });
}

function newAlarm({ kind, subject, severity, raisedAtMs, text, brim }: Episode) {
  const alarm = { kind, subject, severity, raisedAtMs, text };
  return brim === undefined ? alarm : { ...alarm, brim };
}

/** What is wrong with one bucket now, for whoever listens on its topic. */
function publish(desk: Desk, bucketId: string): void {
  const own = openOf(desk).filter(({ episode }) => episode.subject === bucketId);
  const kinds = own.map(({ episode }) => episode.kind);
  const text = own.map(({ episode }) => episode.text).join("; ");
  desk.publishNote(bucketId, own.length === 0 ? undefined : { v: 1, kinds, text });
}

function viewFrom({ id, episode, seenAtMs }: OpenAlarm): AlarmView {
  return {
    id,
    kind: episode.kind,
    subject: episode.subject,
    severity: episode.severity,
    raisedAtMs: episode.raisedAtMs,
    clearedAtMs: null,
    seenAtMs,
    text: episode.text,
    ...(episode.brim === undefined ? {} : { brim: episode.brim }),
  };
}

function openAlarmFrom(stored: StoredAlarm): OpenAlarm {
  const kept = stored.noticed as Kept;
  return { ...kept, id: stored.id, seenAtMs: stored.seenAtMs };
}

const afterwardsMs = 30 * msPerMinute;

/** Found in readings that came long after: nobody could be told when it would have helped. */
export function wasFoundAfterwards({ raisedAtMs, noticed }: StoredAlarm): boolean {
  const foundAtMs = (noticed as Kept | undefined)?.foundAtMs;
  return foundAtMs !== undefined && foundAtMs - raisedAtMs > afterwardsMs;
}

function isSame(one: Episode, other: Episode): boolean {
  return one.kind === other.kind && one.subject === other.subject;
}

function find(alarms: readonly OpenAlarm[], episode: Episode): OpenAlarm | undefined {
  return alarms.find((alarm) => isSame(alarm.episode, episode));
}
