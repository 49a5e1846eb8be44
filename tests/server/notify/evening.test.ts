// The evening's digest over real SMTP: once a local day, at each person's own time, through restarts and nights of changed clocks.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, test } from "vitest";
import { createEvening } from "../../../server/notify/evening.ts";
import {
  atEnd,
  closeAll,
  hourMs,
  minuteMs,
  openMail,
  openPost,
  person,
} from "../../helpers/notice-rig.ts";

afterEach(closeAll);

type Words = { title: string; text: string } | undefined;
const words: Words = {
  title: "This evening: 42 L of sap came today",
  text: "42 L came.\nBoil it.",
};
/** 19:30 in Toronto on 14 March 2026, four hours behind UTC (IANA zones). */
const eveningMs = Date.UTC(2026, 2, 14, 23, 30);

async function openEvening(over: { folder?: string; words?: Words } = {}) {
  const { email, mails } = await openMail();
  const post = openPost({ email, ...(over.folder === undefined ? {} : { folder: over.folder }) });
  const evening = createEvening({
    ...post,
    words: () => ("words" in over ? over.words : words),
    timeZone: () => "America/Toronto",
  });
  const lookAt = async (atMs: number) => {
    post.clock.advance(atMs - post.clock.nowMs());
    evening.look();
    await post.postman.deliverDue();
    return mails.length;
  };
  return { ...post, mails, lookAt };
}

const ann = { ...person, mailTo: "ann@example.test", digest: "19:30" };

test("it comes at the person's time and once a day", async () => {
  const { people, lookAt, mails } = await openEvening();
  people.insertPerson(ann);
  people.insertPerson({ ...ann, mailTo: "bob@example.test", digest: null });
  expect(await lookAt(eveningMs - minuteMs)).toBe(0);
  expect(await lookAt(eveningMs)).toBe(1);
  expect(mails[0]).toContain("Subject: This evening: 42 L of sap came today");
  expect(mails[0]).toContain("Boil it.");
  expect(mails[0]).toContain("ann@example.test");
  expect(await lookAt(eveningMs + hourMs)).toBe(1);
  expect(await lookAt(eveningMs + 24 * hourMs)).toBe(2);
});

test("a restart neither repeats it nor forgets it, but the night is not disturbed", async () => {
  const folder = mkdtempSync(join(tmpdir(), "brimful-evening-"));
  atEnd(() => rmSync(folder, { recursive: true }));
  const first = await openEvening({ folder });
  first.people.insertPerson(ann);
  expect(await first.lookAt(eveningMs)).toBe(1);
  first.close();
  const second = await openEvening({ folder });
  expect(await second.lookAt(eveningMs + minuteMs)).toBe(0);
  expect(await second.lookAt(eveningMs + 26 * hourMs), "two hours late").toBe(1);
  expect(await second.lookAt(eveningMs + 51 * hourMs), "three hours late").toBe(1);
});

test("on the days when clocks change it comes at the same time of the wall", async () => {
  const { people, lookAt } = await openEvening();
  people.insertPerson(ann);
  // 8 March: from UTC-5 to UTC-4; 1 November: back (America/Toronto, IANA zones).
  expect(await lookAt(Date.UTC(2026, 2, 8, 23, 29))).toBe(0);
  expect(await lookAt(Date.UTC(2026, 2, 8, 23, 30))).toBe(1);
  expect(await lookAt(Date.UTC(2026, 10, 2, 0, 29))).toBe(1);
  expect(await lookAt(Date.UTC(2026, 10, 2, 0, 30))).toBe(2);
});

test("with no bucket in use nobody hears anything, and quiet hours don't hold what was asked for", async () => {
  const off = await openEvening({ words: undefined });
  off.people.insertPerson(ann);
  expect(await off.lookAt(eveningMs)).toBe(0);
  const on = await openEvening();
  on.people.insertPerson({ ...ann, quiet: { from: "18:00", until: "08:00" } });
  expect(await on.lookAt(eveningMs)).toBe(1);
});
