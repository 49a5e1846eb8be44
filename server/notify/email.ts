// Sends a notice as a plain e-mail over SMTP.
import { createTransport } from "nodemailer";
import type { Notices } from "../../shared/wire/api.ts";
import type { Notice } from "./notifier.ts";
import { withoutSecrets } from "./secrets.ts";

/** What became of one attempt; a final refusal is not tried again, what is gone is never used again. */
export type Delivery = { ok: boolean; answer: string; isFinal?: boolean; isGone?: boolean };

type Email = NonNullable<Notices["email"]>;

/** One attempt; never rejects. The answer holds no password. */
export async function sendEmail(
  { smtpUrl, from, to }: Email,
  notice: Notice,
  timeoutMs: number,
): Promise<Delivery> {
  const transport = createTransport({
    ...smtpServer(smtpUrl),
    connectionTimeout: timeoutMs,
    greetingTimeout: timeoutMs,
    socketTimeout: timeoutMs,
    dnsTimeout: timeoutMs,
    // Nothing of this machine is ever attached.
    disableFileAccess: true,
    disableUrlAccess: true,
  });
  try {
    const { title: subject, text, id } = notice;
    // The same at every attempt, so that a mailbox can tell one it has already (RFC 5322 section 3.6.4).
    const named = id === undefined ? {} : { messageId: `<${id}@brimful.invalid>` };
    const { response } = await transport.sendMail({ from, to, subject, text, ...named });
    return { ok: true, answer: clean(response, smtpUrl) };
  } catch (error) {
    const { message, responseCode } = error as Error & { responseCode?: number };
    const isFinal = responseCode !== undefined && responseCode >= 500;
    return { ok: false, answer: clean(message, smtpUrl), isFinal };
  } finally {
    transport.close();
  }
}

/**
 * Only these four are taken from the address. Handed over whole, its query would set any option of
 * the mail library, a program to run among them.
 */
function smtpServer(smtpUrl: string) {
  const { protocol, hostname, port, username, password } = new URL(smtpUrl);
  const secure = protocol === "smtps:";
  return {
    host: hostname.replace(/^\[|\]$/g, ""),
    port: port === "" ? (secure ? 465 : 587) : Number(port),
    secure,
    ...(username === "" ? {} : { auth: { user: decoded(username), pass: decoded(password) } }),
  };
}

function clean(text: string, smtpUrl: string): string {
  const { password } = new URL(smtpUrl);
  return withoutSecrets(text, [password, decoded(password)]);
}

/** A part of an address as people mean it; one that is no proper escape stands for itself. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
