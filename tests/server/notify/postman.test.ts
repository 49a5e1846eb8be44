// The way of a notice when the other side refuses, is slow or is gone: again after a while, then given up and shown.
import { mkdtempSync, rmSync } from "node:fs";
import type { ServerResponse } from "node:http";
import { createServer as createTcpServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, test } from "vitest";
import {
  atEnd,
  closeAll,
  episodeAt,
  hook,
  hourMs,
  minuteMs,
  openMail,
  openPost,
  openReceiver,
  person,
  status,
} from "../../helpers/notice-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

afterEach(closeAll);

test("it is tried again later each time, then given up, and the way is called dead till it works", async () => {
  const { heard, url } = await openReceiver(status(500), status(500), status(500), status(200));
  const post = openPost();
  const id = post.people.insertPerson({ ...person, ...hook(url) });
  await post.tell(post.raise(episodeAt(startMs)));
  expect(post.postman.deadChannels()).toEqual([]);
  expect(post.postman.states(id)).toMatchObject([
    { state: "trying", answer: "HTTP 500", waiting: 1 },
  ]);
  post.clock.advance(minuteMs);
  await post.postman.deliverDue();
  post.clock.advance(9 * minuteMs);
  await post.postman.deliverDue();
  expect(heard).toHaveLength(2);
  post.clock.advance(minuteMs);
  await post.postman.deliverDue();
  expect(heard).toHaveLength(3);
  expect(post.postman.deadChannels()).toEqual([{ name: "Ann", channel: "webhook" }]);
  expect(post.postman.states(id)).toMatchObject([
    { state: "dead", answer: "HTTP 500", waiting: 0 },
  ]);
  post.clock.advance(hourMs);
  await post.postman.deliverDue();
  expect(heard, "given up for good").toHaveLength(3);
  expect(await post.postman.test(id, "webhook")).toEqual({ ok: true, answer: "HTTP 200" });
  expect(post.postman.deadChannels()).toEqual([]);
});

test("a mail server's refusal is told in its own words and not tried again", async () => {
  const { email } = await openMail({
    onRcptTo: (_address, _session, done) =>
      done(Object.assign(new Error("no such mailbox"), { responseCode: 550 })),
  });
  const post = openPost({ email });
  const id = post.people.insertPerson({ ...person, mailTo: "ann@example.test" });
  await post.tell(post.raise(episodeAt(startMs)));
  expect(post.postman.states(id)).toMatchObject([
    { channel: "email", state: "dead", answer: expect.stringContaining("550 no such mailbox") },
  ]);
  expect(post.people.listWaiting()).toEqual([]);
});

test("a mail server that asks to come later is tried again, also after a restart, with the same Message-ID", async () => {
  const folder = mkdtempSync(join(tmpdir(), "brimful-people-"));
  atEnd(() => rmSync(folder, { recursive: true }));
  let isGreylisting = true;
  const ids: string[] = [];
  const { email, mails } = await openMail({
    onData: (stream, _session, done) =>
      void stream.toArray().then((chunks) => {
        const text = Buffer.concat(chunks as Buffer[]).toString();
        ids.push(/^Message-ID: (\S+)/im.exec(text)?.[1] ?? "none");
        const later = Object.assign(new Error("greylisted"), { responseCode: 451 });
        done(isGreylisting ? later : null);
      }),
  });
  const first = openPost({ folder, email });
  const id = first.people.insertPerson({ ...person, mailTo: "ann@example.test" });
  await first.tell(first.raise(episodeAt(startMs)));
  expect(first.postman.states(id)).toMatchObject([
    { state: "trying", answer: expect.stringContaining("451 greylisted"), waiting: 1 },
  ]);
  first.close();
  isGreylisting = false;
  const second = openPost({ folder, email });
  second.clock.advance(minuteMs);
  await second.postman.deliverDue();
  expect(second.postman.states(id)).toMatchObject([{ state: "fine", waiting: 0 }]);
  expect(mails).toEqual([]);
  expect(ids).toEqual([expect.stringMatching(/^<[0-9a-f-]{36}@brimful\.invalid>$/), ids[0]]);
});

test("a mail server that never greets is left after its time", async () => {
  const server = createTcpServer(() => undefined);
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  atEnd(() => new Promise((resolve) => server.close(resolve)));
  const { port } = server.address() as { port: number };
  const email = { smtpUrl: `smtp://127.0.0.1:${port}`, from: "yard@example.test", to: "" };
  const post = openPost({ email, timeoutMs: 100 });
  const id = post.people.insertPerson({ ...person, mailTo: "ann@example.test" });
  const { ok, answer } = await post.postman.test(id, "email");
  expect(ok).toBe(false);
  // The waits for a greeting and for any word end together, and either may be noticed first.
  expect(["Greeting never received", "Timeout"]).toContain(answer);
});

test("a way that was changed or taken away while it was asked keeps no answer of before", async () => {
  let answer: () => void = () => undefined;
  const arrived = new Promise<void>((resolve) => {
    answer = resolve;
  });
  const held: ServerResponse[] = [];
  const { url } = await openReceiver((response) => {
    held.push(response);
    answer();
  });
  const post = openPost();
  const id = post.people.insertPerson({ ...person, ...hook(url) });
  const telling = post.tell(post.raise(episodeAt(startMs)));
  await arrived;
  post.people.dropChannel(id, "webhook");
  held[0]?.writeHead(403).end();
  await telling;
  expect(post.postman.states(id)).toEqual([]);
  expect(post.postman.deadChannels()).toEqual([]);
});

test("mail without a mail server says what is missing", async () => {
  const post = openPost();
  const id = post.people.insertPerson({ ...person, mailTo: "ann@example.test" });
  const { ok, answer } = await post.postman.test(id, "email");
  expect([ok, answer]).toEqual([false, expect.stringContaining("mail server")]);
});

test("a slow side holds up nobody else and is left after its time", async () => {
  const slow = await openReceiver(() => undefined);
  const fast = await openReceiver(status(200));
  const post = openPost({ timeoutMs: 100 });
  const id = post.people.insertPerson({ ...person, ...hook(slow.url) });
  post.people.insertPerson({ ...person, ...hook(fast.url) });
  await post.tell(post.raise(episodeAt(startMs)));
  expect([slow.heard.length, fast.heard.length]).toEqual([1, 1]);
  expect((await post.postman.test(id, "webhook")).answer).toBe("no answer within 100 ms");
});

test("a redirect is not followed, and nothing of it is told", async () => {
  const inner = await openReceiver(status(200));
  const { url } = await openReceiver((response) =>
    response.writeHead(307, { location: inner.url }).end(),
  );
  const post = openPost();
  const id = post.people.insertPerson({ ...person, ...hook(url) });
  expect(await post.postman.test(id, "webhook")).toEqual({ ok: false, answer: "HTTP 307" });
  expect(inner.heard).toHaveLength(0);
});

test("an answer without end is not read", async () => {
  let written = 0;
  let isClosed: Promise<unknown> = Promise.resolve();
  const { url } = await openReceiver((response) => {
    isClosed = new Promise((resolve) => response.on("close", resolve));
    const more = () => {
      while (!response.destroyed && response.write("x".repeat(65_536))) written += 65_536;
    };
    response.on("drain", more);
    more();
  });
  const post = openPost();
  const id = post.people.insertPerson({ ...person, ...hook(url) });
  expect(await post.postman.test(id, "webhook")).toEqual({ ok: true, answer: "HTTP 200" });
  await isClosed;
  expect(written).toBeLessThan(64 * 1024 * 1024);
});

test("a connection dropped half-way is a failure to be tried again", async () => {
  const server = createTcpServer((socket) => socket.once("data", () => socket.destroy()));
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  atEnd(() => new Promise((resolve) => server.close(resolve)));
  const { port } = server.address() as { port: number };
  const post = openPost();
  post.people.insertPerson({ ...person, ...hook(`http://127.0.0.1:${port}/s3cret`) });
  await post.tell(post.raise(episodeAt(startMs)));
  expect(post.people.listWaiting()).toMatchObject([{ channel: "webhook", count: 1 }]);
  expect(JSON.stringify(post.log.lines)).not.toContain("s3cret");
});

test("what is over by the next attempt is not told any more, and what goes on is told in its present words", async () => {
  const { heard, url } = await openReceiver(status(503), status(503), status(200));
  const post = openPost();
  const id = post.people.insertPerson({ ...person, ...hook(url) });
  const gate = post.raise(episodeAt(startMs));
  const well = post.raise(episodeAt(startMs, { subject: "well", text: "Well by 18:00" }));
  await post.tell(gate);
  await post.tell(well);
  expect(heard).toHaveLength(2);
  post.clock.advance(minuteMs);
  post.alarms.clear(gate.id, post.clock.nowMs());
  post.alarms.update(well.id, { ...well.episode, text: "Well by 17:30" });
  await post.postman.deliverDue();
  await post.postman.deliverDue();
  expect(heard.slice(2).map(({ body }) => JSON.parse(body).text)).toEqual(["Well by 17:30"]);
  expect(post.people.listWaiting()).toEqual([]);
  expect(post.postman.states(id)).toMatchObject([{ state: "fine" }]);
});

test("a way that took nothing before all was over is called dead", async () => {
  const { url } = await openReceiver(status(503));
  const post = openPost();
  post.people.insertPerson({ ...person, ...hook(url) });
  const gate = post.raise(episodeAt(startMs));
  await post.tell(gate);
  post.alarms.clear(gate.id, startMs + 1);
  post.clock.advance(minuteMs);
  await post.postman.deliverDue();
  expect(post.postman.deadChannels()).toEqual([{ name: "Ann", channel: "webhook" }]);
});

test("a second attempt that falls into quiet hours waits for their end", async () => {
  const { heard, url } = await openReceiver(status(503), status(200));
  const post = openPost();
  // 21:59:30 and 22:00:30 in Toronto on 14 March 2026, four hours behind UTC (IANA zones).
  post.clock.advance(Date.UTC(2026, 2, 15, 1, 59, 30) - post.clock.nowMs());
  post.people.insertPerson({ ...person, quiet: { from: "22:00", until: "06:00" }, ...hook(url) });
  await post.tell(post.raise(episodeAt(post.clock.nowMs())));
  post.clock.advance(minuteMs);
  await post.postman.deliverDue();
  expect(heard).toHaveLength(1);
  post.clock.advance(8 * hourMs);
  await post.postman.deliverDue();
  expect(heard).toHaveLength(2);
});

test("yesterday's evening is not told this morning", async () => {
  const { heard, url } = await openReceiver(status(200));
  const post = openPost();
  const personId = post.people.insertPerson({ ...person, ...hook(url) });
  const about = { kind: "evening", subject: "yard", severity: "advice" } as const;
  const notice = { ...about, title: "42 L", text: "42 L", atMs: startMs };
  post.people.tell({ personId, channels: ["webhook"], notice, digestDay: "2026-03-01" });
  post.clock.advance(12 * hourMs);
  await post.postman.deliverDue();
  expect(heard).toHaveLength(0);
  expect(post.people.listWaiting()).toEqual([]);
});
