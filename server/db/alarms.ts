// Alarms and their episodes: raised, noticed, seen by a person, cleared.
import type { AlarmKind, AlarmView, Brim, Severity } from "../../shared/wire/api.ts";
import type { Sqlite } from "./sqlite.ts";

export type NewAlarm = {
  kind: AlarmKind;
  /** The bucket, cell or board it is about. */
  subject: string;
  severity: Severity;
  raisedAtMs: number;
  text: string;
  brim?: Brim;
  /** What the notices of this episode have said so far; any JSON, its owner's business. */
  noticed?: unknown;
};

export type StoredAlarm = AlarmView & { noticed?: unknown };

export type AlarmStore = ReturnType<typeof createAlarmStore>;

type AlarmRow = Omit<AlarmView, "brim"> & { brim: string | null; noticed: string | null };

const select = `SELECT id, kind, subject, severity, raised_ms AS raisedAtMs,
  cleared_ms AS clearedAtMs, seen_ms AS seenAtMs, text, brim, noticed FROM alarm`;

function alarmFrom({ brim, noticed, ...row }: AlarmRow): StoredAlarm {
  return {
    ...row,
    ...(brim === null ? {} : { brim: JSON.parse(brim) as Brim }),
    ...(noticed === null ? {} : { noticed: JSON.parse(noticed) as unknown }),
  };
}

const jsonOrNull = (value: unknown) => (value === undefined ? null : JSON.stringify(value));

export function createAlarmStore(sqlite: Sqlite) {
  const listOpen = sqlite.prepare(`${select} WHERE cleared_ms IS NULL ORDER BY raised_ms, id`);
  const listSpan = sqlite.prepare(`${select} WHERE raised_ms < @toMs
    AND (cleared_ms IS NULL OR cleared_ms >= @fromMs) ORDER BY raised_ms DESC, id DESC LIMIT 2000`);
  const findOne = sqlite.prepare(`${select} WHERE id = ?`);
  const insertOne = sqlite.prepare(`
    INSERT INTO alarm (kind, subject, severity, raised_ms, text, brim, noticed)
    VALUES (@kind, @subject, @severity, @raisedAtMs, @text, @brim, @noticed)`);
  const updateOne = sqlite.prepare(`UPDATE alarm SET severity = @severity, text = @text,
    brim = @brim, noticed = @noticed WHERE id = @id`);
  const clearOne = sqlite.prepare(
    "UPDATE alarm SET cleared_ms = max(@atMs, raised_ms) WHERE id = @id AND cleared_ms IS NULL",
  );
  const seeOne = sqlite.prepare(
    "UPDATE alarm SET seen_ms = @atMs WHERE id = @id AND seen_ms IS NULL",
  );

  const ofKind = sqlite.prepare(
    `${select} WHERE kind = ? ORDER BY raised_ms DESC, id DESC LIMIT 5000`,
  );

  function find(id: number): StoredAlarm | undefined {
    const row = findOne.get(id) as AlarmRow | undefined;
    return row && alarmFrom(row);
  }

  return {
    find,

    /** Those that hold now, oldest first. */
    listOpen: (): StoredAlarm[] => (listOpen.all() as AlarmRow[]).map(alarmFrom),

    /** All there ever were of a kind, newest first, at most 5,000. */
    listOfKind: (kind: AlarmKind): StoredAlarm[] => (ofKind.all(kind) as AlarmRow[]).map(alarmFrom),

    /** Those that held at any time from `fromMs` to before `toMs`, newest first, at most 2,000. */
    list(span: { fromMs: number; toMs: number }): AlarmView[] {
      return (listSpan.all(span) as AlarmRow[]).map((row) => {
        const { noticed: _, ...view } = alarmFrom(row);
        return view;
      });
    },

    /** Raises one and returns its id. One of a kind and subject can be open at a time. */
    insert(alarm: NewAlarm): number {
      const json = { brim: jsonOrNull(alarm.brim), noticed: jsonOrNull(alarm.noticed) };
      return Number(insertOne.run({ ...alarm, ...json }).lastInsertRowid);
    },

    update(id: number, now: Pick<NewAlarm, "severity" | "text" | "brim" | "noticed">): void {
      const json = { brim: jsonOrNull(now.brim), noticed: jsonOrNull(now.noticed) };
      updateOne.run({ id, severity: now.severity, text: now.text, ...json });
    },

    clear(id: number, atMs: number): void {
      clearOne.run({ id, atMs });
    },

    /** The first look counts. */
    markSeen(id: number, atMs: number): void {
      seeOne.run({ id, atMs });
    },
  };
}
