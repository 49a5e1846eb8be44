// Notices to people by their own wishes, over real SMTP and real HTTP: once an episode, through restarts and hours.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, describe, expect, test } from "vitest";
import {
  atEnd,
  closeAll,
  episodeAt,
  hook,
  minuteMs,
  openMail,
  openPost,
  openReceiver,
  person,
  status,
} from "../../helpers/notice-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

afterEach(closeAll);

describe("once an episode", () => {
  test("each person hears by each way, once, and again when it gets worse", async () => {
    const { mails, email } = await openMail();
    const { heard, url } = await openReceiver(status(204));
    const post = openPost({ email });
    post.people.insertPerson({ ...person, mailTo: "ann@example.test", ...hook(url) });
    const alarm = post.raise(episodeAt(startMs));
    for (let look = 0; look < 3; look++) await post.tell(alarm);
    expect([mails.length, heard.length]).toEqual([1, 1]);
    expect(mails[0]).toContain("ann@example.test");
    expect(JSON.parse(heard[0]!.body)).toMatchObject({ v: 1, kind: "brim", severity: "soon" });
    await post.tell({ ...alarm, episode: episodeAt(startMs, { severity: "now" }) });
    expect([mails.length, heard.length]).toEqual([2, 2]);
  });

  test("a restart neither repeats what was told nor forgets what is on its way", async () => {
    const folder = mkdtempSync(join(tmpdir(), "brimful-people-"));
    atEnd(() => rmSync(folder, { recursive: true }));
    const { heard, url } = await openReceiver(status(503), status(200));
    const first = openPost({ folder });
    first.people.insertPerson({ ...person, ...hook(url) });
    const alarm = first.raise(episodeAt(startMs));
    await first.tell(alarm);
    expect(heard).toHaveLength(1);
    first.close();
    const second = openPost({ folder });
    await second.tell(alarm);
    expect(heard, "not before its time").toHaveLength(1);
    second.clock.advance(minuteMs);
    await second.tell(alarm);
    expect(heard).toHaveLength(2);
    second.close();
    const third = openPost({ folder });
    third.clock.advance(2 * minuteMs);
    await third.tell(alarm);
    expect(heard).toHaveLength(2);
    const keys = heard.map(({ headers }) => headers["idempotency-key"]);
    expect(keys[0]).toMatch(/^[0-9a-f-]{36}$/);
    expect(keys[1]).toBe(keys[0]);
  });

  test("what one person was told does not count as told to who is added after them", async () => {
    const { heard, url } = await openReceiver(status(200));
    const post = openPost();
    const id = post.people.insertPerson({ ...person, ...hook(url) });
    const alarm = post.raise(episodeAt(startMs));
    await post.tell(alarm);
    post.people.removePerson(id);
    post.people.insertPerson({ ...person, ...hook(url) });
    await post.tell(alarm);
    expect(heard).toHaveLength(2);
  });

  test("a change of the text alone is no news", async () => {
    const { heard, url } = await openReceiver(status(200));
    const post = openPost();
    post.people.insertPerson({ ...person, ...hook(url) });
    const alarm = post.raise(episodeAt(startMs));
    await post.tell(alarm);
    await post.tell({ ...alarm, episode: episodeAt(startMs, { text: "Gate by 16:45" }) });
    expect(heard).toHaveLength(1);
  });
});

describe("by a person's wishes", () => {
  test("kinds that weren't asked for and what is too slight are not told", async () => {
    const { heard, url } = await openReceiver(status(200));
    const post = openPost();
    post.people.insertPerson({ ...person, kinds: ["boil"], ...hook(url) });
    post.people.insertPerson({ ...person, fromSeverity: "now", ...hook(url) });
    await post.tell(post.raise(episodeAt(startMs)));
    expect(heard).toHaveLength(0);
  });

  test.each([
    // Clocks go forward at 02:00 on 8 March 2026 and back at 02:00 on 1 November 2026 (America/Toronto, IANA zones).
    {
      night: "clocks go forward",
      fromMs: Date.UTC(2026, 2, 8, 3, 30),
      untilMs: Date.UTC(2026, 2, 8, 10),
    },
    {
      night: "clocks go back",
      fromMs: Date.UTC(2026, 10, 1, 2, 30),
      untilMs: Date.UTC(2026, 10, 1, 11),
    },
  ])(
    "quiet hours end at 06:00 of the wall in the night when $night",
    async ({ fromMs, untilMs }) => {
      const { heard, url } = await openReceiver(status(200));
      const post = openPost();
      post.people.insertPerson({
        ...person,
        quiet: { from: "22:00", until: "06:00" },
        ...hook(url),
      });
      post.clock.advance(fromMs - post.clock.nowMs());
      const alarm = post.raise(episodeAt(fromMs));
      await post.tell(alarm);
      post.clock.advance(untilMs - minuteMs - post.clock.nowMs());
      await post.tell(alarm);
      expect(heard).toHaveLength(0);
      post.clock.advance(minuteMs);
      await post.tell(alarm);
      expect(heard).toHaveLength(1);
    },
  );

  test("only what must be done now breaks through, for who asked to be woken", async () => {
    const wakes = await openReceiver(status(200));
    const sleeps = await openReceiver(status(200));
    const post = openPost();
    const quiet = { from: "00:00", until: "23:59" };
    post.people.insertPerson({ ...person, quiet, wake: true, ...hook(wakes.url) });
    post.people.insertPerson({ ...person, quiet, wake: false, ...hook(sleeps.url) });
    const alarm = post.raise(episodeAt(startMs));
    await post.tell(alarm);
    expect([wakes.heard.length, sleeps.heard.length]).toEqual([0, 0]);
    await post.tell({ ...alarm, episode: episodeAt(startMs, { severity: "now" }) });
    expect([wakes.heard.length, sleeps.heard.length]).toEqual([1, 0]);
  });
});

describe("a template", () => {
  const words = 'Gate "brims" & over\n}{';
  const templates = [
    {
      form: "json",
      template: '{"m": ["{title}", "{severity}"], "p": 5}',
      read: JSON.parse,
      expected: { m: [words, "soon"], p: 5 },
    },
    {
      form: "form",
      template: "p=5&m={text}",
      read: (body: string) => Object.fromEntries(new URLSearchParams(body)),
      expected: { p: "5", m: words },
    },
    {
      form: "text",
      template: "{kind}: {text} {other}",
      read: String,
      expected: `brim: ${words} {other}`,
    },
  ] as const;
  test.each(templates)("as $form is filled in and no words break out of it", async (sample) => {
    const { form, template, read, expected } = sample;
    const { heard, url } = await openReceiver(status(200));
    const post = openPost();
    const authorization = "Bearer k3y";
    post.people.insertPerson({ ...person, ...hook(url, { form, template, authorization }) });
    await post.tell(post.raise(episodeAt(startMs, { text: words })));
    expect(read(heard[0]!.body)).toEqual(expected);
    expect(heard[0]!.headers.authorization).toBe(authorization);
  });
});
