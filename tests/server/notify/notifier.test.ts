// Notices by real SMTP and real HTTP on the loopback: sent, tried again, given up, never a secret told.
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { SMTPServer, type SMTPServerOptions } from "smtp-server";
import { afterEach, describe, expect, test } from "vitest";
import { createNotifier, type Notice, type Notifier } from "../../../server/notify/notifier.ts";
import { withoutSecrets } from "../../../server/notify/secrets.ts";
import type { Notices } from "../../../shared/wire/api.ts";
import { listen } from "../../helpers/http-rig.ts";
import { createTestClock, createTestLog, startMs } from "../../helpers/store-rig.ts";

const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

const notice: Notice = {
  kind: "brim",
  subject: "gate",
  title: "Gate will brim over by 16:40",
  text: "Gate holds 12.1 L of 15 L.\nGather it before 16:40.",
  severity: "soon",
  atMs: startMs,
};

function openNotifier(notices: Partial<Notices>, over: { timeoutMs?: number } = {}) {
  const log = createTestLog();
  const notifier = createNotifier({
    notices: () => ({ email: null, webhook: null, ...notices }),
    clock: createTestClock(),
    log,
    retryDelaysMs: [5, 5],
    timeoutMs: 5000,
    ...over,
  });
  closing.push(() => notifier.stop());
  return { notifier, log };
}

/** A mail server that keeps what it takes. */
async function openMail(options: SMTPServerOptions = {}) {
  const mails: string[] = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ["STARTTLS"],
    onData: (stream, _session, done) => {
      let text = "";
      stream.on("data", (chunk) => {
        text += chunk;
      });
      stream.on("end", () => {
        mails.push(text);
        done();
      });
    },
    ...options,
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  closing.push(() => new Promise<void>((resolve) => server.close(resolve)));
  const { port } = server.server.address() as AddressInfo;
  const email = (auth = "") => ({
    smtpUrl: `smtp://${auth}127.0.0.1:${port}`,
    from: "yard@example.test",
    to: "me@example.test, you@example.test",
  });
  return { mails, email };
}

type Received = { headers: IncomingMessage["headers"]; body: unknown };

/** A receiver that answers as told, one answer a request, the last one for all that follow. */
async function openReceiver(answers: ((response: ServerResponse) => void)[]) {
  const received: Received[] = [];
  const server: Server = createServer(async (request, response) => {
    let text = "";
    for await (const chunk of request) text += chunk;
    received.push({ headers: request.headers, body: JSON.parse(text) });
    answers[Math.min(received.length, answers.length) - 1]!(response);
  });
  const port = await listen(server);
  closing.push(() => {
    server.closeAllConnections();
    return new Promise((resolve) => server.close(resolve));
  });
  return { received, webhook: { url: `http://127.0.0.1:${port}/t0ken?key=s3cret` } };
}

const status = (code: number) => (response: ServerResponse) => {
  response.statusCode = code;
  response.end("anything");
};

async function answersOf(notifier: Notifier) {
  const answers = await notifier.send(notice);
  return answers.map(({ channel, ok, answer }) => [channel, ok, answer]);
}

describe("by e-mail", () => {
  test("the notice arrives as plain text at everyone named", async () => {
    const rcpt: string[] = [];
    const { mails, email } = await openMail({
      onRcptTo: ({ address }, _session, done) => {
        rcpt.push(address);
        done();
      },
    });
    const { notifier, log } = openNotifier({ email: email() });
    const [answer] = await notifier.send(notice);
    expect(answer).toMatchObject({ channel: "email", ok: true, atMs: startMs });
    expect(answer!.answer).toMatch(/^250 /);
    expect(rcpt).toEqual(["me@example.test", "you@example.test"]);
    expect(mails).toHaveLength(1);
    expect(mails[0]).toContain("Subject: Gate will brim over by 16:40\r\n");
    expect(mails[0]).toContain("Content-Type: text/plain; charset=utf-8");
    expect(mails[0]).toContain("Gate holds 12.1 L of 15 L.\r\nGather it before 16:40.");
    expect(notifier.lastAnswers()).toEqual([answer]);
    expect(log.lines.map(({ event }) => event)).toEqual(["notice sent"]);
  });

  test("a final refusal is told and not tried again", async () => {
    let attempts = 0;
    const { email } = await openMail({
      onMailFrom: (_address, _session, done) => {
        attempts += 1;
        done(Object.assign(new Error("no mail from you"), { responseCode: 550 }));
      },
    });
    const { notifier } = openNotifier({ email: email() });
    expect(await answersOf(notifier)).toEqual([
      ["email", false, expect.stringContaining("550 no mail from you")],
    ]);
    expect(attempts).toBe(1);
  });

  test("a passing refusal is tried again until it is taken", async () => {
    let attempts = 0;
    const { mails, email } = await openMail({
      onMailFrom: (_address, _session, done) => {
        attempts += 1;
        if (attempts === 3) done();
        else done(Object.assign(new Error("busy"), { responseCode: 451 }));
      },
    });
    const { notifier } = openNotifier({ email: email() });
    expect(await answersOf(notifier)).toEqual([["email", true, expect.stringMatching(/^250 /)]]);
    expect([attempts, mails.length]).toEqual([3, 1]);
  });

  test("a wrong password is told without it", async () => {
    const { email } = await openMail({
      authOptional: false,
      allowInsecureAuth: true,
      onAuth: ({ username, password }, _session, done) =>
        done(new Error(`no ${username} with ${password}`)),
    });
    const { notifier, log } = openNotifier({ email: email("sugar:hidden%21word@") });
    const [[, ok, answer] = []] = await answersOf(notifier);
    expect(ok).toBe(false);
    expect(answer).toContain("no sugar with …");
    expect(JSON.stringify(log.lines)).not.toContain("hidden");
  });

  test("nobody at the address is told after every attempt", async () => {
    const server = createServer();
    const port = await listen(server);
    await new Promise((resolve) => server.close(resolve));
    const email = { smtpUrl: `smtp://127.0.0.1:${port}`, from: "a@x.test", to: "b@x.test" };
    const { notifier, log } = openNotifier({ email });
    expect(await answersOf(notifier)).toEqual([
      ["email", false, expect.stringContaining("ECONNREFUSED")],
    ]);
    expect(log.lines).toMatchObject([{ level: "warn", event: "notice not sent" }]);
  });
});

describe("by webhook", () => {
  test("the notice arrives as JSON", async () => {
    const { received, webhook } = await openReceiver([status(204)]);
    const { notifier } = openNotifier({ webhook });
    expect(await answersOf(notifier)).toEqual([["webhook", true, "HTTP 204"]]);
    expect(received).toMatchObject([
      { headers: { "content-type": "application/json" }, body: { v: 1, ...notice } },
    ]);
  });

  test("an error of the receiver is tried again until it takes the notice", async () => {
    const { received, webhook } = await openReceiver([status(500), status(429), status(200)]);
    const { notifier } = openNotifier({ webhook });
    expect(await answersOf(notifier)).toEqual([["webhook", true, "HTTP 200"]]);
    expect(received).toHaveLength(3);
  });

  test("a receiver that only ever fails is given up", async () => {
    const { received, webhook } = await openReceiver([status(503)]);
    const { notifier } = openNotifier({ webhook });
    expect(await answersOf(notifier)).toEqual([["webhook", false, "HTTP 503"]]);
    expect(received).toHaveLength(3);
  });

  test.each([404, 302])("status %i is final, and no redirect is followed", async (code) => {
    const { received, webhook } = await openReceiver([
      (response) => response.writeHead(code, { location: "/elsewhere" }).end(),
    ]);
    const { notifier } = openNotifier({ webhook });
    expect(await answersOf(notifier)).toEqual([["webhook", false, `HTTP ${code}`]]);
    expect(received).toHaveLength(1);
  });

  test("one that doesn't answer in time is told so, without the address's secret", async () => {
    const { webhook } = await openReceiver([() => undefined]);
    const { notifier, log } = openNotifier({ webhook }, { timeoutMs: 40 });
    expect(await answersOf(notifier)).toEqual([["webhook", false, "no answer within 40 ms"]]);
    expect(JSON.stringify(log.lines)).not.toMatch(/t0ken|s3cret/);
  });

  test("a connection that is refused is told without the address's secret", async () => {
    const server = createServer();
    const port = await listen(server);
    await new Promise((resolve) => server.close(resolve));
    const webhook = { url: `http://127.0.0.1:${port}/t0ken?key=s3cret` };
    const { notifier, log } = openNotifier({ webhook });
    const [[, ok, answer] = []] = await answersOf(notifier);
    expect([ok, answer]).toEqual([false, expect.stringContaining("ECONNREFUSED")]);
    expect(JSON.stringify(log.lines) + answer).not.toMatch(/t0ken|s3cret/);
  });
});

describe("all channels", () => {
  test("one that is stuck doesn't hold up another, and stop gives it up", async () => {
    const { webhook } = await openReceiver([status(500)]);
    const { mails, email } = await openMail();
    const log = createTestLog();
    const notifier = createNotifier({
      notices: () => ({ email: email(), webhook }),
      clock: createTestClock(),
      log,
      retryDelaysMs: [3_600_000],
    });
    const sending = notifier.send(notice);
    await expect.poll(() => mails.length).toBe(1);
    await expect
      .poll(() => notifier.lastAnswers().map(({ channel }) => channel))
      .toEqual(["email"]);
    notifier.stop();
    notifier.stop();
    expect(await sending).toMatchObject([
      { channel: "email", ok: true },
      { channel: "webhook", ok: false, answer: "HTTP 500" },
    ]);
  });

  test("a dead one doesn't pile up notices without end", async () => {
    const { received, webhook } = await openReceiver([status(500)]);
    const notifier = createNotifier({
      notices: () => ({ email: null, webhook }),
      clock: createTestClock(),
      log: createTestLog(),
      retryDelaysMs: [3_600_000],
    });
    const sending = Array.from({ length: 60 }, () => notifier.send(notice));
    const answers = await Promise.all(sending.slice(50));
    expect(new Set(answers.flat().map(({ answer }) => answer))).toEqual(
      new Set(["too many under way"]),
    );
    await expect.poll(() => received.length).toBe(50);
    notifier.stop();
    await Promise.all(sending);
    expect(received).toHaveLength(50);
  });

  test("a test is sent once to each that is set, none when none is", async () => {
    const { received, webhook } = await openReceiver([status(500)]);
    const { notifier } = openNotifier({ webhook });
    expect(await notifier.test()).toMatchObject([{ channel: "webhook", ok: false }]);
    expect(received).toMatchObject([{ body: { kind: "test", severity: "advice" } }]);
    expect(await openNotifier({}).notifier.test()).toEqual([]);
    expect(await openNotifier({}).notifier.send(notice)).toEqual([]);
  });
});

test("secrets are blotted out wherever they stand, in one line of bounded length", () => {
  expect(withoutSecrets("no a-b\r\nwith a-b, a", ["", "a-b"])).toBe("no … with …, a");
  expect(withoutSecrets("x".repeat(1000), [])).toHaveLength(300);
});
