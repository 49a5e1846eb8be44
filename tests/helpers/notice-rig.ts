// Notices to people as one run of the program carries them, a mail server and a web receiver beside it, all real.
import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import { createServer as createTlsServer } from "node:https";
import { SMTPServer, type SMTPServerOptions } from "smtp-server";
import { createAlarmStore } from "../../server/db/alarms.ts";
import { createNoticePeopleStore } from "../../server/db/notice-people.ts";
import type { Episode } from "../../server/domain/alarms/episode.ts";
import { createPostman } from "../../server/notify/postman.ts";
import { pushKeysIn } from "../../server/notify/push-keys.ts";
import { createTeller } from "../../server/notify/teller.ts";
import type { Notices } from "../../shared/wire/api.ts";
import type { NoticePersonPost } from "../../shared/wire/notice-people.ts";
import { listen } from "./http-rig.ts";
import { openRig } from "./store-rig.ts";

const closing: (() => unknown)[] = [];
/** Called when the test ends, the last first. */
export const atEnd = (close: () => unknown) => closing.push(close);
export async function closeAll() {
  for (const close of closing.splice(0).reverse()) await close();
}

export const minuteMs = 60_000;
export const hourMs = 60 * minuteMs;
export const person: NoticePersonPost = {
  name: "Ann",
  mailTo: null,
  webhook: null,
  kinds: null,
  fromSeverity: "advice",
  quiet: null,
  wake: false,
  digest: null,
};
export const hook = (
  url: string,
  over: Partial<NonNullable<NoticePersonPost["webhook"]>> = {},
) => ({
  webhook: { url, form: "json" as const, template: "", authorization: "", ...over },
});

export function episodeAt(atMs: number, over: Partial<Episode> = {}): Episode {
  return {
    ...{ kind: "brim", subject: "gate", severity: "soon", text: "Gate brims over by 16:40" },
    ...{ raisedAtMs: atMs, changedAtMs: atMs, confirmedAtMs: atMs, calmSinceMs: null },
    ...over,
  } as Episode;
}

/** The store, who decides and who carries, as one run of the program has them. */
export function openPost(
  over: { folder?: string; email?: Notices["email"]; timeoutMs?: number } = {},
) {
  const rig = openRig(over.folder);
  const people = createNoticePeopleStore(rig.sqlite);
  const alarms = createAlarmStore(rig.sqlite);
  const notices = () => ({ email: over.email ?? null, webhook: null });
  const { timeoutMs = 5000 } = over;
  const timeZone = "America/Toronto";
  const postman = createPostman({
    ...{ people, notices, clock: rig.clock, log: rig.log, timeoutMs },
    timeZone: () => timeZone,
    pushKeys: () => pushKeysIn(rig.settings),
    retryDelaysMs: [minuteMs, 10 * minuteMs],
  });
  const teller = createTeller({ people, timeZone: () => timeZone });
  const raise = (episode: Episode) => ({ id: alarms.insert(episode), episode });
  const tell = async (alarm: { id: number; episode: Episode }) => {
    const nowMs = rig.clock.nowMs();
    const episode = { ...alarm.episode, confirmedAtMs: nowMs };
    teller.tell([{ id: alarm.id, episode }], { nowMs, pausedUntilMs: null });
    await postman.deliverDue();
  };
  let isOpen = true;
  const close = () => {
    if (!isOpen) return;
    isOpen = false;
    postman.stop();
    rig.intake.stop();
    rig.sqlite.close();
  };
  atEnd(close);
  return { ...rig, alarms, people, postman, teller, raise, tell, close };
}

type Heard = { headers: IncomingMessage["headers"]; bytes: Buffer; body: string };
type Answer = (response: ServerResponse) => void;
export const status =
  (code: number): Answer =>
  (response) =>
    response.writeHead(code).end("anything");

type TlsFiles = { cert: Buffer; key: Buffer };

/** A receiver that answers as told, one answer a request, the last one for all that follow. */
export async function openReceiver(...given: (Answer | { tls: TlsFiles })[]) {
  const heard: Heard[] = [];
  const answers = given.filter((each) => typeof each === "function");
  const tls = given.find((each) => typeof each !== "function")?.tls;
  const hear = async (request: IncomingMessage, response: ServerResponse) => {
    const bytes = Buffer.concat(await request.toArray());
    heard.push({ headers: request.headers, bytes, body: bytes.toString() });
    answers[Math.min(heard.length, answers.length) - 1]?.(response);
  };
  const server = tls === undefined ? createServer(hear) : createTlsServer(tls, hear);
  const port = await listen(server);
  closing.push(() => {
    server.closeAllConnections();
    return new Promise((resolve) => server.close(resolve));
  });
  const scheme = tls === undefined ? "http" : "https";
  return { heard, url: `${scheme}://127.0.0.1:${port}/t0ken` };
}

export async function openMail(options: SMTPServerOptions = {}) {
  const mails: string[] = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ["STARTTLS"],
    onData: async (stream, session, done) => {
      let text = session.envelope.rcptTo.map(({ address }) => address).join(" ");
      for await (const chunk of stream) text += chunk;
      mails.push(text);
      done();
    },
    ...options,
  });
  // A client that hangs up in the middle of a handshake is what some tests are about.
  server.on("error", () => undefined);
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  closing.push(() => new Promise<void>((resolve) => server.close(resolve)));
  const { port } = server.server.address() as { port: number };
  const email = { smtpUrl: `smtp://127.0.0.1:${port}`, from: "yard@example.test", to: "" };
  return { mails, email };
}
