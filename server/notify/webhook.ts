// Sends a notice as a JSON POST to an address a person gave.
import type { Notices } from "../../shared/wire/api.ts";
import type { Delivery } from "./email.ts";
import type { Notice } from "./notifier.ts";
import { withoutSecrets } from "./secrets.ts";

type Webhook = NonNullable<Notices["webhook"]>;

/** Statuses below 500 that tell to come again later (RFC 9110 section 15.5.9, RFC 6585 section 4). */
const laterStatuses = new Set([408, 429]);

/** One attempt; never rejects. The answer holds nothing of the address but its host. */
export async function sendWebhook(
  { url }: Webhook,
  notice: Notice,
  timeoutMs: number,
): Promise<Delivery> {
  const { kind, subject, title, text, severity, atMs } = notice;
  try {
    const response = await fetch(url, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ v: 1, kind, subject, title, text, severity, atMs }),
      redirect: "manual",
      signal: AbortSignal.timeout(timeoutMs),
    });
    await response.body?.cancel();
    const { status } = response;
    const isFinal = !response.ok && status < 500 && !laterStatuses.has(status);
    return { ok: response.ok, answer: `HTTP ${status}`, isFinal };
  } catch (error) {
    return { ok: false, answer: clean(reasonOf(error, timeoutMs), url) };
  }
}

function reasonOf(error: unknown, timeoutMs: number): string {
  const { name, message, cause } = error as Error;
  if (name === "TimeoutError") return `no answer within ${timeoutMs} ms`;
  return cause instanceof Error ? `${message}: ${cause.message}` : message;
}

function clean(text: string, url: string): string {
  const { pathname, search, password } = new URL(url);
  return withoutSecrets(text, [url, pathname === "/" ? "" : pathname, search, password]);
}
