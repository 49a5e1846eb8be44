// Sends a notice to a browser with its page closed, by the push service that the browser named.
import webPush from "web-push";
import type { Severity } from "../../shared/wire/api.ts";
import type { PushSubscription } from "../../shared/wire/notice-people.ts";
import type { Delivery } from "./email.ts";
import type { Notice } from "./notifier.ts";
import type { PushKeys } from "./push-keys.ts";
import { postTo } from "./webhook.ts";

export type PushParts = { keys: PushKeys; mailFrom: string | undefined; timeoutMs: number };

/** How long a push service keeps it for a phone that is off; later it would be of yesterday. */
const keptS = 12 * 60 * 60;
const urgencies = { advice: "low", soon: "normal", now: "high" } as const satisfies Record<
  Severity,
  webPush.Urgency
>;
/** A push service takes 4096 bytes of the encrypted whole (RFC 8030 section 7.2). */
const mostLetters = 900;
/** The browser threw its subscription away (RFC 8030 section 7.3; some services say 404). */
const goneAnswers = new Set(["HTTP 404", "HTTP 410"]);

/** One attempt; never rejects. Encrypted for the browser alone (RFC 8291). */
export async function sendPush(
  subscription: PushSubscription,
  notice: Notice,
  parts: PushParts,
): Promise<Delivery> {
  const request = requestFrom(subscription, notice, parts);
  if (request === undefined) {
    return { ok: false, answer: "the browser's keys can't be used", isFinal: true };
  }
  const delivery = await postTo(request, parts.timeoutMs);
  if (!goneAnswers.has(delivery.answer)) return delivery;
  return {
    ...delivery,
    answer: `${delivery.answer}, this browser no longer listens`,
    isGone: true,
  };
}

function requestFrom(subscription: PushSubscription, notice: Notice, parts: PushParts) {
  const { kind, subject, severity, atMs } = notice;
  const [title, text] = [notice.title, notice.text].map((words) => words.slice(0, mostLetters));
  const payload = JSON.stringify({ v: 1, kind, subject, severity, title, text, atMs });
  try {
    const { endpoint, headers, body } = webPush.generateRequestDetails(subscription, payload, {
      vapidDetails: { subject: contactFrom(parts.mailFrom), ...parts.keys },
      TTL: keptS,
      urgency: urgencies[severity],
    });
    const texts = Object.entries(headers).map(([name, value]) => [name, String(value)]);
    return { url: endpoint, headers: Object.fromEntries(texts), body: new Uint8Array(body) };
  } catch {
    return undefined;
  }
}

/** Whom a push service may write to when this server misbehaves (RFC 8292 section 2.1). */
function contactFrom(mailFrom: string | undefined): string {
  const address = /[^\s<>]+@[^\s<>]+/.exec(mailFrom ?? "")?.[0];
  return address === undefined ? "https://brimful.invalid" : `mailto:${address}`;
}
