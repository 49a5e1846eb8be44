// Carries what is on its way to people: one at a time by each way, again after a while, until taken or given up.
import type { Clock } from "../../shared/clock.ts";
import type { ChannelAnswer, ChannelState } from "../../shared/wire/notice-people.ts";
import type { NoticePeopleStore, Outgoing, StoredPerson } from "../db/notice-people.ts";
import { isQuiet } from "../domain/alarms/notices.ts";
import type { Log } from "../log.ts";
import type { Delivery } from "./email.ts";
import { type Notice, testNotice } from "./notifier.ts";
import {
  browserIdFrom,
  channelsOf,
  type DeliverParts,
  deliverTo,
  pushChannel,
} from "./person-channels.ts";

export type PostmanParts = {
  people: NoticePeopleStore;
  notices: DeliverParts["notices"];
  pushKeys: DeliverParts["pushKeys"];
  clock: Clock;
  timeZone: () => string;
  log: Pick<Log, "info" | "warn" | "error">;
  /** Waits between attempts; their number is how often it is tried again. */
  retryDelaysMs?: number[];
  /** How long one attempt may take, in real time. */
  timeoutMs?: number;
};

export type Postman = {
  /** Tries all that is due; resolves when each was answered. Never rejects. */
  deliverDue(): Promise<void>;
  /** One test notice by one way, once. Throws AppError "not-found" for a person there isn't. */
  test(personId: number, channel: string): Promise<ChannelAnswer>;
  states(personId: number): ChannelState[];
  /** Ways on which the last notice was given up. */
  deadChannels(): { name: string; channel: string }[];
  start(): void;
  /** Safe twice; what is on its way goes on after the next start. */
  stop(): void;
};

type Inside = PostmanParts & { timeoutMs: number; busy: Set<string>; isStopped: boolean };

const minuteMs = 60_000;
const pastMs = 3 * 60 * minuteMs;
const defaultRetryDelaysMs = [5_000, 30_000, 2 * minuteMs, 10 * minuteMs, 60 * minuteMs];
const defaultTimeoutMs = 10_000;
const tickMs = 1000;

export function createPostman(parts: PostmanParts): Postman {
  const { timeoutMs = defaultTimeoutMs } = parts;
  const inside: Inside = { ...parts, timeoutMs, busy: new Set(), isStopped: false };
  let timer: NodeJS.Timeout | undefined;
  return {
    deliverDue: () => deliverDue(inside),
    test: (personId, channel) => sendTest(inside, personId, channel),
    states: (personId) => statesOf(inside, personId),
    deadChannels: () => deadChannels(inside),
    start() {
      inside.isStopped = false;
      timer ??= setInterval(() => void deliverDue(inside), tickMs);
    },
    stop() {
      inside.isStopped = true;
      clearInterval(timer);
      timer = undefined;
    },
  };
}

async function deliverDue(inside: Inside): Promise<void> {
  try {
    const due = inside.people.listDue(inside.clock.nowMs());
    await Promise.all(due.map((outgoing) => deliver(inside, outgoing)));
  } catch (error) {
    // A store that can't be written must not end the server: what is due stays due.
    inside.log.error("notices not carried", { problem: String(error) });
  }
}

/** A slow way holds up only itself: the next on it waits for the next look. */
async function deliver(inside: Inside, outgoing: Outgoing): Promise<void> {
  const { people, busy } = inside;
  const { personId, channel, notice } = outgoing;
  const key = `${personId} ${channel}`;
  if (busy.has(key) || inside.isStopped) return;
  busy.add(key);
  try {
    const person = people.findPerson(personId);
    if (isPast(inside, outgoing)) return leave(inside, outgoing);
    if (isHeld(inside, person, notice)) return;
    const delivery = await deliverTo(person, { channel, notice }, inside);
    if (!inside.isStopped) settle(inside, outgoing, delivery);
  } finally {
    busy.delete(key);
  }
}

/** Nothing is told late that is no longer so: a bucket that was gathered meanwhile, yesterday's evening. */
function isPast({ clock }: Inside, { notice, isOver }: Outgoing): boolean {
  return isOver || (notice.kind === "evening" && clock.nowMs() - notice.atMs > pastMs);
}

function leave({ people }: Inside, { id, personId, channel, attempts }: Outgoing): void {
  people.removeOutgoing(id);
  if (attempts > 0) people.endTrying(personId, channel);
}

/** A second attempt may fall into quiet hours; it waits for their end. The evening's was asked for. */
function isHeld(
  { clock, timeZone }: Inside,
  { quiet, wake }: StoredPerson,
  notice: Notice,
): boolean {
  if (quiet === null || notice.kind === "evening" || (wake && notice.severity === "now"))
    return false;
  const hours = { quietFrom: quiet.from, quietUntil: quiet.until };
  return isQuiet(clock.nowMs(), hours, timeZone());
}

function settle(
  inside: Inside,
  { id, personId, channel, attempts }: Outgoing,
  { ok, answer, isFinal = false, isGone = false }: Delivery,
): void {
  const { people, clock, log, retryDelaysMs = defaultRetryDelaysMs } = inside;
  const atMs = Math.round(clock.nowMs());
  const delayMs = isFinal ? undefined : retryDelaysMs[attempts];
  if (!ok && delayMs !== undefined) {
    if (!people.markTried(id, attempts + 1, atMs + delayMs)) return;
    people.keepTrying({ personId, channel, answer, atMs });
    return;
  }
  if (!people.removeOutgoing(id)) return;
  if (isGone) markGone(people, { personId, channel, atMs });
  people.keepSaid({ personId, channel, state: ok ? "fine" : "dead", answer, atMs });
  if (ok) log.info("notice sent", { person: personId, channel, answer });
  else log.warn("notice not sent", { person: personId, channel, answer });
}

async function sendTest(inside: Inside, personId: number, channel: string): Promise<ChannelAnswer> {
  const person = inside.people.findPerson(personId);
  const atMs = Math.round(inside.clock.nowMs());
  const notice = testNotice(atMs);
  const { ok, answer, isGone } = await deliverTo(person, { channel, notice }, inside);
  if (isGone === true) markGone(inside.people, { personId, channel, atMs });
  inside.people.keepSaid({ personId, channel, state: ok ? "fine" : "dead", answer, atMs });
  return { ok, answer };
}

/** Nothing else goes that way. */
function markGone(
  people: NoticePeopleStore,
  { personId, channel, atMs }: { personId: number; channel: string; atMs: number },
): void {
  const browserId = browserIdFrom(channel);
  if (browserId !== undefined) people.markGone(browserId, atMs);
  people.dropOutgoing(personId, channel);
}

/** All that are shown: those that are set, and browsers that are gone. */
function shownChannels(person: StoredPerson): Set<string> {
  return new Set([...channelsOf(person), ...person.browsers.map(({ id }) => pushChannel(id))]);
}

function statesOf({ people }: Inside, personId: number): ChannelState[] {
  const waiting = people.listWaiting();
  const isShown = shownChannels(people.findPerson(personId));
  return people
    .listSaid()
    .filter((said) => said.personId === personId && isShown.has(said.channel))
    .map(({ channel, state, answer, atMs }) => {
      const own = waiting.find((row) => row.personId === personId && row.channel === channel);
      return { channel, state, answer, atMs, waiting: own?.count ?? 0 };
    });
}

function deadChannels({ people }: Inside): { name: string; channel: string }[] {
  const persons = new Map(people.listPeople().map((person) => [person.id, person]));
  return people.listSaid().flatMap(({ personId, channel, state }) => {
    const person = persons.get(personId);
    const isShown = person !== undefined && shownChannels(person).has(channel);
    return state === "dead" && isShown ? [{ name: person.name, channel }] : [];
  });
}
