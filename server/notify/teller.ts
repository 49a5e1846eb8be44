// Decides who is told of which open alarm, once each, and puts those notices on their way.
import { randomUUID } from "node:crypto";
import type { NoticePeopleStore, StoredPerson } from "../db/notice-people.ts";
import type { Episode } from "../domain/alarms/episode.ts";
import { type SentNotice, sentNotice } from "../domain/alarms/notices.ts";
import { personNoticeDue } from "../domain/alarms/person-notice.ts";
import { channelsOf } from "./person-channels.ts";

export type OpenAlarm = { id: number; episode: Episode };
export type When = { nowMs: number; pausedUntilMs: number | null };

export type TellerParts = {
  people: Pick<NoticePeopleStore, "listPeople" | "listTold" | "tell">;
  timeZone: () => string;
};

export type Teller = {
  /** Puts what is due to each person on its way; asked again and again, it tells nothing twice. */
  tell(alarms: readonly OpenAlarm[], when: When): void;
};

export function createTeller({ people, timeZone }: TellerParts): Teller {
  let told: Map<string, SentNotice> | undefined;
  const keyOf = (personId: number, alarmId: number) => `${personId} ${alarmId}`;
  const load = () =>
    new Map(people.listTold().map((row) => [keyOf(row.personId, row.alarmId), row.last]));

  function tellOne(person: StoredPerson, alarm: OpenAlarm, when: When): void {
    told ??= load();
    const key = keyOf(person.id, alarm.id);
    const lastNotice = told.get(key) ?? null;
    const { id: alarmId, episode } = alarm;
    const question = { episode, lastNotice, ...when, timeZone: timeZone() };
    if (personNoticeDue(person, question) !== "send") return;
    const { kind, subject, severity, text } = episode;
    const atMs = Math.round(when.nowMs);
    const last = sentNotice(episode, atMs);
    const notice = { id: randomUUID(), alarmId, kind, subject, severity, title: text, text, atMs };
    const channels = channelsOf(person);
    people.tell({ personId: person.id, channels, notice, told: { alarmId, last } });
    told.set(key, last);
  }

  return {
    tell(alarms, when) {
      if (alarms.length === 0) return;
      for (const person of people.listPeople()) {
        if (channelsOf(person).length === 0) continue;
        for (const alarm of alarms) tellOne(person, alarm, when);
      }
    },
  };
}
