// The ways to one person: their mail through the yard's mail server, their web address.
import type { Notices } from "../../shared/wire/api.ts";
import type { PersonWebhook } from "../../shared/wire/notice-people.ts";
import type { StoredPerson } from "../db/notice-people.ts";
import { type Delivery, sendEmail } from "./email.ts";
import type { Notice } from "./notifier.ts";
import { sendPush } from "./push.ts";
import type { PushKeys } from "./push-keys.ts";
import { filledTemplate } from "./template.ts";
import { postTo, sendWebhook } from "./webhook.ts";

export type DeliverParts = { notices(): Notices; pushKeys(): PushKeys; timeoutMs: number };

const pushPrefix = "push-";
export const pushChannel = (browserId: number) => `${pushPrefix}${browserId}`;
/** The browser of such a way; undefined for any other. */
export function browserIdFrom(channel: string): number | undefined {
  return channel.startsWith(pushPrefix) ? Number(channel.slice(pushPrefix.length)) : undefined;
}

/** Keys of the ways that are set; a browser that takes no more is none. */
export function channelsOf({ mailTo, webhook, browsers }: StoredPerson): string[] {
  return [
    ...(mailTo === null || mailTo === "" ? [] : ["email"]),
    ...(webhook === null ? [] : ["webhook"]),
    ...browsers.filter(({ goneMs }) => goneMs === null).map(({ id }) => pushChannel(id)),
  ];
}

/** One attempt; never rejects. */
export function deliverTo(
  person: StoredPerson,
  { channel, notice }: { channel: string; notice: Notice },
  parts: DeliverParts,
): Promise<Delivery> {
  if (channel === "email" && person.mailTo) return deliverMail(person.mailTo, notice, parts);
  if (channel === "webhook" && person.webhook !== null) {
    return deliverWebhook(person.webhook, notice, parts);
  }
  const browserId = browserIdFrom(channel);
  const browser = person.browsers.find(({ id, goneMs }) => id === browserId && goneMs === null);
  if (browser !== undefined) {
    const { pushKeys, timeoutMs } = parts;
    const push = { keys: pushKeys(), mailFrom: parts.notices().email?.from, timeoutMs };
    return sendPush(browser.subscription, notice, push);
  }
  return Promise.resolve({ ok: false, answer: "this way is no longer set", isFinal: true });
}

function deliverMail(
  to: string,
  notice: Notice,
  { notices, timeoutMs }: DeliverParts,
): Promise<Delivery> {
  const { email } = notices();
  if (email === null) {
    const answer = "no mail server is set: fill in the yard's mail server below";
    return Promise.resolve({ ok: false, answer, isFinal: true });
  }
  return sendEmail({ ...email, to }, notice, timeoutMs);
}

function deliverWebhook(
  { url, form, template, authorization }: PersonWebhook,
  notice: Notice,
  { timeoutMs }: DeliverParts,
): Promise<Delivery> {
  const headers = {
    ...(authorization === "" ? {} : { authorization }),
    // The same at every attempt, so that the other side can tell a notice it has already.
    ...(notice.id === undefined ? {} : { "idempotency-key": notice.id }),
  };
  if (template.trim() === "") return sendWebhook({ url, headers }, notice, timeoutMs);
  const filled = filledTemplate({ form, template }, notice);
  if (!filled.ok) return Promise.resolve({ ok: false, answer: filled.problem, isFinal: true });
  const { contentType, body } = filled.value;
  return postTo({ url, headers: { ...headers, "content-type": contentType }, body }, timeoutMs);
}
