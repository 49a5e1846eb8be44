// Puts the evening's digest on its way to everybody who asked for it, once a local day.
import { randomUUID } from "node:crypto";
import type { Clock } from "../../shared/clock.ts";
import { localParts } from "../../shared/local-time.ts";
import type { EveningWords } from "../../shared/people/evening-words.ts";
import type { NoticePeopleStore, StoredPerson } from "../db/notice-people.ts";
import type { Log } from "../log.ts";
import { channelsOf } from "./person-channels.ts";

export type EveningParts = {
  people: Pick<NoticePeopleStore, "listPeople" | "tell" | "markDigest">;
  /** Of the yard as it is now; undefined when there is nothing to tell. */
  words: () => EveningWords | undefined;
  timeZone: () => string;
  clock: Clock;
  log: Pick<Log, "error">;
};

export type Evening = {
  /** Asked again and again, it tells each person once a day. Never throws. */
  look(): void;
  start(): void;
  /** Safe twice. */
  stop(): void;
};

/** A server that was away at the time tells later, but not at night. */
const lateMin = 180;
const tickMs = 5_000;

export function createEvening(parts: EveningParts): Evening {
  let timer: NodeJS.Timeout | undefined;
  const look = () => {
    try {
      lookAt(parts);
    } catch (error) {
      // A store that can't be written must not end the server: it is tried again with the next look.
      parts.log.error("evening not told", { problem: String(error) });
    }
  };
  return {
    look,
    start() {
      timer ??= setInterval(look, tickMs);
    },
    stop() {
      clearInterval(timer);
      timer = undefined;
    },
  };
}

function lookAt({ people, words, timeZone, clock }: EveningParts): void {
  const nowMs = clock.nowMs();
  const { dayKey, minuteOfDay } = localParts(nowMs, timeZone());
  const due = people.listPeople().filter((person) => isDue(person, dayKey, minuteOfDay));
  if (due.length === 0) return;
  const told = words();
  for (const person of due) {
    if (told === undefined) {
      people.markDigest(person.id, dayKey);
      continue;
    }
    const atMs = Math.round(nowMs);
    const about = { kind: "evening", subject: "yard", severity: "advice" } as const;
    const notice = { id: randomUUID(), ...about, ...told, atMs };
    people.tell({ personId: person.id, channels: channelsOf(person), notice, digestDay: dayKey });
  }
}

function isDue(person: StoredPerson, dayKey: string, minuteOfDay: number): boolean {
  if (person.digest === null || person.digestDay === dayKey) return false;
  if (channelsOf(person).length === 0) return false;
  const [hour = 0, minute = 0] = person.digest.split(":").map(Number);
  const lateByMin = minuteOfDay - (hour * 60 + minute);
  return lateByMin >= 0 && lateByMin < lateMin;
}
