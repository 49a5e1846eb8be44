// Sends notices out by e-mail and webhook, again when it fails, each channel on its own.
import { setMaxListeners } from "node:events";
import { setTimeout as delay } from "node:timers/promises";
import type { Clock } from "../../shared/clock.ts";
import type { AlarmKind, Notices, Severity } from "../../shared/wire/api.ts";
import type { Log } from "../log.ts";
import { type Delivery, sendEmail } from "./email.ts";
import { sendWebhook } from "./webhook.ts";

export type Notice = {
  /** The same at every attempt; none where it is only tried while the program runs. */
  id?: string;
  /** The alarm it tells of; by it a late attempt knows whether that is over and how it stands now. */
  alarmId?: number;
  kind: AlarmKind | "evening" | "test";
  /** What it is about: a bucket's, cell's or board's name. */
  subject: string;
  /** One line. */
  title: string;
  text: string;
  severity: Severity;
  atMs: number;
};

export type ChannelName = "email" | "webhook";
export type Answer = { channel: ChannelName; ok: boolean; answer: string; atMs: number };

export type NotifierParts = {
  notices(): Notices;
  clock: Clock;
  log: Pick<Log, "info" | "warn">;
  /** Waits between attempts, in real time; their number is how often it is tried again. */
  retryDelaysMs?: number[];
  /** How long one attempt may take, in real time. */
  timeoutMs?: number;
};

export type Notifier = {
  /**
   * Sends a notice on every channel that is set and resolves with what each answered in the end;
   * never rejects. Nobody needs to wait for it.
   */
  send(notice: Notice): Promise<Answer[]>;
  /** Sends a test notice, once, without trying again. */
  test(): Promise<Answer[]>;
  /** What the last notice of each channel was answered. */
  lastAnswers(): Answer[];
  /** Channels that are set and on which the last notice was given up. */
  deadChannels(): { name: string; channel: ChannelName }[];
  /** Gives up what is being tried again; safe twice. */
  stop(): void;
};

type Channel = { name: ChannelName; deliver(notice: Notice): Promise<Delivery> };

const defaultRetryDelaysMs = [5_000, 30_000, 120_000];
const defaultTimeoutMs = 10_000;
/** Notices under way on one channel; a dead one must not pile up more. */
const mostUnderWay = 50;

export function createNotifier(parts: NotifierParts): Notifier {
  const { retryDelaysMs = defaultRetryDelaysMs, timeoutMs = defaultTimeoutMs } = parts;
  const last = new Map<ChannelName, Answer>();
  const underWay = new Map<ChannelName, number>();
  const stopping = new AbortController();
  // Each notice that waits for its next attempt listens; two channels.
  setMaxListeners(2 * mostUnderWay, stopping.signal);

  async function sendOn(channel: Channel, notice: Notice, delaysMs: number[]): Promise<Answer> {
    const count = underWay.get(channel.name) ?? 0;
    if (count >= mostUnderWay) return noted(channel, { ok: false, answer: "too many under way" });
    underWay.set(channel.name, count + 1);
    try {
      return noted(
        channel,
        await deliverAgain(channel, notice, { delaysMs, signal: stopping.signal }),
      );
    } finally {
      underWay.set(channel.name, (underWay.get(channel.name) ?? 1) - 1);
    }
  }

  function noted({ name: channel }: Channel, { ok, answer }: Delivery): Answer {
    const full = { channel, ok, answer, atMs: parts.clock.nowMs() };
    last.set(channel, full);
    if (ok) parts.log.info("notice sent", { channel, answer });
    else parts.log.warn("notice not sent", { channel, answer });
    return full;
  }

  function sendAll(notice: Notice, delaysMs: number[]): Promise<Answer[]> {
    const channels = channelsFrom(parts.notices(), timeoutMs);
    return Promise.all(channels.map((channel) => sendOn(channel, notice, delaysMs)));
  }

  return {
    send: (notice) => sendAll(notice, retryDelaysMs),
    test: () => sendAll(testNotice(parts.clock.nowMs()), []),
    lastAnswers: () => [...last.values()],
    deadChannels: () =>
      channelsFrom(parts.notices(), timeoutMs)
        .filter(({ name }) => last.get(name)?.ok === false)
        .map(({ name: channel }) => ({ name: "everyone", channel })),
    stop: () => stopping.abort(),
  };
}

async function deliverAgain(
  channel: Channel,
  notice: Notice,
  { delaysMs, signal }: { delaysMs: number[]; signal: AbortSignal },
): Promise<Delivery> {
  let delivery = await channel.deliver(notice);
  for (const delayMs of delaysMs) {
    if (delivery.ok || delivery.isFinal === true || signal.aborted) return delivery;
    await delay(delayMs, undefined, { signal }).catch(() => undefined);
    if (signal.aborted) return delivery;
    delivery = await channel.deliver(notice);
  }
  return delivery;
}

function channelsFrom({ email, webhook }: Notices, timeoutMs: number): Channel[] {
  const channels: Channel[] = [];
  // Without anybody to write to it is only the mail server of people's own mail.
  if (email !== null && email.to.trim() !== "") {
    channels.push({ name: "email", deliver: (notice) => sendEmail(email, notice, timeoutMs) });
  }
  if (webhook !== null) {
    channels.push({
      name: "webhook",
      deliver: (notice) => sendWebhook(webhook, notice, timeoutMs),
    });
  }
  return channels;
}

export function testNotice(atMs: number): Notice {
  return {
    kind: "test",
    subject: "yard",
    title: "Brimful: a test",
    text: "This is a test. Notices from the yard will come this way.",
    severity: "advice",
    atMs,
  };
}
