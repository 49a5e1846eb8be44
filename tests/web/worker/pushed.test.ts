// What the system shows of a pushed notice, and where a touch on it leads.
import { expect, it } from "vitest";
import { openPage, shownFrom } from "../../../web/worker/pushed.ts";
import type { WorkerScope } from "../../../web/worker/worker-scope.ts";

const brim = {
  ...{ v: 1, kind: "brim", subject: "gate", severity: "now", atMs: 0 },
  ...{ title: "Gate brims over by 16:40", text: "Gate brims over by 16:40" },
};

it("what must be done now stays until it is touched, and the next of the same takes its place", () => {
  const { title, options } = shownFrom(JSON.stringify(brim));
  expect([title, options.body]).toEqual(["Gate brims over by 16:40", undefined]);
  expect(options).toMatchObject({ tag: "brim gate", renotify: true, requireInteraction: true });
  expect(options.data).toEqual({ hash: "#/alarms" });
});

it("the evening's and a test lead to the pails, with their words below the title", () => {
  const evening = { ...brim, kind: "evening", severity: "advice", text: "42 L came today" };
  const { options } = shownFrom(JSON.stringify(evening));
  expect(options).toMatchObject({ body: "42 L came today", requireInteraction: false });
  expect(options.data).toEqual({ hash: "#/" });
});

it("says that there is a notice even if it can't read it", () => {
  for (const text of ["", "{", "null", '"words"', "[]"]) {
    expect(shownFrom(text).title).toBe("A notice from the yard");
  }
});

function scopeWith(urls: string[]) {
  const done: string[] = [];
  const note = (what: string) => (url?: string) => {
    done.push(url === undefined ? what : `${what} ${url}`);
    return Promise.resolve();
  };
  const pages = urls.map((url) => ({ url, focus: note("focus"), navigate: note("navigate") }));
  const clients = { matchAll: () => Promise.resolve(pages), openWindow: note("open") };
  const registration = { scope: "https://yard.test/sap/" };
  const scope = { clients, registration } as unknown as WorkerScope;
  const data = { hash: "#/alarms" };
  const notification = { data, close: note("close") } as unknown as Notification;
  return { scope, notification, done };
}

it("a touch opens the page, or brings the open one to the front", async () => {
  const away = scopeWith([]);
  await openPage(away.scope, away.notification);
  expect(away.done).toEqual(["close", "open https://yard.test/sap/#/alarms"]);
  const there = scopeWith(["https://yard.test/sap/#/"]);
  await openPage(there.scope, there.notification);
  const expected = ["close", "focus", "navigate https://yard.test/sap/#/alarms"];
  expect(there.done).toEqual(expected);
});
