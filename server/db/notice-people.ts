// Keeps people who get notices, what each was told and what is on its way to them.
import { AppError } from "../../shared/errors.ts";
import type { ChannelState, NoticePersonPost } from "../../shared/wire/notice-people.ts";
import type { SentNotice } from "../domain/alarms/notices.ts";
import type { Notice } from "../notify/notifier.ts";
import { createNoticeBrowserStore, type StoredBrowser } from "./notice-browsers.ts";
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";

export type StoredPerson = NoticePersonPost & {
  id: number;
  browsers: StoredBrowser[];
  digestDay: string | null;
};
export type Outgoing = {
  id: number;
  personId: number;
  channel: string;
  /** In its alarm's present words. */
  notice: Notice;
  /** Its alarm has ended. */
  isOver: boolean;
  attempts: number;
  nextMs: number;
};
type OutgoingRow = Omit<Outgoing, "notice" | "isOver"> & {
  notice: string;
  clearedMs: number | null;
  text: string | null;
};
export type ChannelSaid = {
  personId: number;
  channel: string;
  state: ChannelState["state"];
  answer: string;
  atMs: number;
};
/** A notice for one person, on these channels, and what to remember of it. */
export type Telling = {
  personId: number;
  channels: string[];
  notice: Notice;
  told?: { alarmId: number; last: SentNotice };
  /** The local day of whose evening it tells. */
  digestDay?: string;
};

export type NoticePeopleStore = ReturnType<typeof createNoticePeopleStore>;

/** Of a person who was kept before there was such a wish. */
const firstWishes = { digest: null };
/** More than a yard has hands; a bound on what one alarm can send. */
const mostPeople = 30;
/** On the way by one channel; a dead one must not pile up more. */
const mostOnTheWay = 50;

export function createNoticePeopleStore(sqlite: Sqlite) {
  const browsers = createNoticeBrowserStore(sqlite);
  return {
    ...browsers,
    ...peopleOf(sqlite, browsers),
    ...tellingOf(sqlite),
    ...channelsOf(sqlite),
  };
}

function peopleOf(
  sqlite: Sqlite,
  { listBrowsers }: Pick<ReturnType<typeof createNoticeBrowserStore>, "listBrowsers">,
) {
  const insert = sqlite.prepare("INSERT INTO notice_person (wishes) VALUES (?)");
  const update = sqlite.prepare("UPDATE notice_person SET wishes = @wishes WHERE id = @id");
  const remove = sqlite.prepare("DELETE FROM notice_person WHERE id = ?");
  const all = sqlite.prepare(
    "SELECT id, wishes, digest_day AS digestDay FROM notice_person ORDER BY id",
  );
  const list = () => {
    const rows = all.all() as { id: number; wishes: string; digestDay: string | null }[];
    const browsers = rows.length === 0 ? [] : listBrowsers();
    return rows.map(({ id, wishes, digestDay }): StoredPerson => {
      const own = browsers.filter(({ personId }) => personId === id);
      return {
        ...firstWishes,
        ...(JSON.parse(wishes) as NoticePersonPost),
        id,
        browsers: own,
        digestDay,
      };
    });
  };
  const none = (id: number) =>
    new AppError("not-found", `person requires one that exists, got ${id}`);
  return {
    listPeople: list,
    /** Throws AppError "not-found". */
    findPerson(id: number): StoredPerson {
      const found = list().find((person) => person.id === id);
      if (found === undefined) throw none(id);
      return found;
    },
    /** Throws AppError "conflict" when there are too many. */
    insertPerson(wishes: NoticePersonPost): number {
      if (list().length >= mostPeople) {
        throw new AppError("conflict", `people require to be at most ${mostPeople}, got more`);
      }
      return Number(insert.run(JSON.stringify(wishes)).lastInsertRowid);
    },
    updatePerson(id: number, wishes: NoticePersonPost): void {
      update.run({ id, wishes: JSON.stringify(wishes) });
    },
    /** With all that is on its way to them. Throws AppError "not-found". */
    removePerson(id: number): void {
      if (remove.run(id).changes !== 1) throw none(id);
    },
  };
}

function tellingOf(sqlite: Sqlite) {
  const told = sqlite.prepare(
    "SELECT person_id AS personId, alarm_id AS alarmId, last FROM notice_told",
  );
  const tell = sqlite.prepare(
    `INSERT INTO notice_told (person_id, alarm_id, last) VALUES (@personId, @alarmId, @last)
     ON CONFLICT (person_id, alarm_id) DO UPDATE SET last = excluded.last`,
  );
  const forget = sqlite.prepare(
    "DELETE FROM notice_told WHERE alarm_id IN (SELECT id FROM alarm WHERE cleared_ms IS NOT NULL)",
  );
  const count = sqlite
    .prepare("SELECT count(*) FROM notice_out WHERE person_id = ? AND channel = ?")
    .pluck();
  const put = sqlite.prepare(
    "INSERT INTO notice_out (person_id, channel, notice, next_ms) VALUES (?, ?, ?, ?)",
  );
  const markDigest = sqlite.prepare("UPDATE notice_person SET digest_day = ? WHERE id = ?");
  return {
    /** An evening with nothing to tell. */
    markDigest: (personId: number, day: string): void => {
      markDigest.run(day, personId);
    },
    /** What was told of alarms, with what was told of ended ones forgotten. */
    listTold(): { personId: number; alarmId: number; last: SentNotice }[] {
      forget.run();
      return (told.all() as { personId: number; alarmId: number; last: string }[]).map((row) => ({
        ...row,
        last: JSON.parse(row.last) as SentNotice,
      }));
    },
    /** Puts a notice on its way and remembers that it was told, or neither. */
    tell: transactional(
      sqlite,
      ({ personId, channels, notice, told: of, digestDay }: Telling): void => {
        for (const channel of channels) {
          if ((count.get(personId, channel) as number) >= mostOnTheWay) continue;
          put.run(personId, channel, JSON.stringify(notice), notice.atMs);
        }
        if (digestDay !== undefined) markDigest.run(digestDay, personId);
        if (of === undefined) return;
        tell.run({ personId, alarmId: of.alarmId, last: JSON.stringify(of.last) });
      },
    ),
  };
}

function channelsOf(sqlite: Sqlite) {
  const due = sqlite.prepare(
    `SELECT o.id, person_id AS personId, channel, notice, attempts, next_ms AS nextMs,
       alarm.cleared_ms AS clearedMs, alarm.text AS text
     FROM notice_out AS o LEFT JOIN alarm ON alarm.id = json_extract(o.notice, '$.alarmId')
     WHERE next_ms <= ? ORDER BY o.id`,
  );
  const tried = sqlite.prepare("UPDATE notice_out SET attempts = ?, next_ms = ? WHERE id = ?");
  const remove = sqlite.prepare("DELETE FROM notice_out WHERE id = ?");
  const waiting = sqlite.prepare(
    "SELECT person_id AS personId, channel, count(*) AS count FROM notice_out GROUP BY 1, 2",
  );
  const say = sqlite.prepare(
    `INSERT INTO notice_channel (person_id, channel, state, answer, at_ms)
     SELECT @personId, @channel, @state, @answer, @atMs
     WHERE EXISTS (SELECT 1 FROM notice_person WHERE id = @personId)
     ON CONFLICT (person_id, channel) DO UPDATE
     SET state = excluded.state, answer = excluded.answer, at_ms = excluded.at_ms`,
  );
  const keepTrying = sqlite.prepare(
    `INSERT INTO notice_channel (person_id, channel, state, answer, at_ms)
     SELECT @personId, @channel, 'trying', @answer, @atMs
     WHERE EXISTS (SELECT 1 FROM notice_person WHERE id = @personId)
     ON CONFLICT (person_id, channel) DO UPDATE
     SET state = iif(state = 'dead', 'dead', 'trying'), answer = excluded.answer,
       at_ms = excluded.at_ms`,
  );
  const endTrying = sqlite.prepare(
    `UPDATE notice_channel SET state = 'dead'
     WHERE person_id = ? AND channel = ? AND state = 'trying'`,
  );
  const said = sqlite.prepare(
    "SELECT person_id AS personId, channel, state, answer, at_ms AS atMs FROM notice_channel",
  );
  const drop = sqlite.prepare("DELETE FROM notice_channel WHERE person_id = ? AND channel = ?");
  const dropOut = sqlite.prepare("DELETE FROM notice_out WHERE person_id = ? AND channel = ?");
  return {
    listDue: (nowMs: number): Outgoing[] =>
      (due.all(nowMs) as OutgoingRow[]).map(({ clearedMs, text, notice, ...row }) => {
        const said = JSON.parse(notice) as Notice;
        const present = text === null ? {} : { title: text, text };
        return { ...row, notice: { ...said, ...present }, isOver: clearedMs !== null };
      }),
    /** False when it was taken back meanwhile, with its way or its person. */
    markTried: (id: number, attempts: number, nextMs: number): boolean =>
      tried.run(attempts, nextMs, id).changes === 1,
    removeOutgoing: (id: number): boolean => remove.run(id).changes === 1,
    listWaiting: () => waiting.all() as { personId: number; channel: string; count: number }[],
    keepSaid(row: ChannelSaid): void {
      say.run(row);
    },
    /** A way that is dead stays so until something went out. */
    keepTrying(row: Omit<ChannelSaid, "state">): void {
      keepTrying.run(row);
    },
    /** Nothing is tried any more that didn't go out. */
    endTrying: (personId: number, channel: string): void => {
      endTrying.run(personId, channel);
    },
    listSaid: () => said.all() as ChannelSaid[],
    /** A channel that was changed or taken away: nothing of before holds, nothing goes that way. */
    dropChannel(personId: number, channel: string): void {
      drop.run(personId, channel);
      dropOut.run(personId, channel);
    },
    dropOutgoing: (personId: number, channel: string): void => {
      dropOut.run(personId, channel);
    },
  };
}
