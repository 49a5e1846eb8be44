// Sends a notice as a JSON POST to an address a person gave.
import type { Notices } from "../../shared/wire/api.ts";
import type { Delivery } from "./email.ts";
import type { Notice } from "./notifier.ts";
import { withoutSecrets } from "./secrets.ts";

type Webhook = NonNullable<Notices["webhook"]>;

/** Statuses below 500 that tell to come again later (RFC 9110 section 15.5.9, RFC 6585 section 4). */
const laterStatuses = new Set([408, 429]);

/** One attempt; never rejects. The answer holds nothing of the address but its host. */
export function sendWebhook(
  { url, headers }: Webhook & { headers?: Record<string, string> },
  notice: Notice,
  timeoutMs: number,
): Promise<Delivery> {
  const { kind, subject, title, text, severity, atMs } = notice;
  const body = JSON.stringify({ v: 1, kind, subject, title, text, severity, atMs });
  return postTo(
    { url, headers: { ...headers, "content-type": "application/json" }, body },
    timeoutMs,
  );
}

type Post = {
  url: string;
  headers: Record<string, string>;
  body: string | Uint8Array<ArrayBuffer>;
};

/**
 * One attempt; never rejects. A redirect is not followed and of the answer only the status is read:
 * an address in the yard's own network is allowed, since only an owner sets it, but nothing that
 * it says comes out.
 */
export async function postTo({ url, headers, body }: Post, timeoutMs: number): Promise<Delivery> {
  try {
    const response = await fetch(url, {
      method: "POST",
      headers,
      body,
      redirect: "manual",
      signal: AbortSignal.timeout(timeoutMs),
    });
    await response.body?.cancel();
    const { status } = response;
    const isFinal = !response.ok && status < 500 && !laterStatuses.has(status);
    return { ok: response.ok, answer: `HTTP ${status}`, isFinal };
  } catch (error) {
    const reason = withoutSecrets(reasonOf(error, timeoutMs), [headers["authorization"] ?? ""]);
    return { ok: false, answer: clean(reason, url) };
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
