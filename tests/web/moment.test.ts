// A moment said by the yard's clock, whatever zone the browser is in.
import { expect, it } from "vitest";
import { momentField, parseMoment, readMoment } from "../../web/moment.ts";

const timeZone = "America/Toronto";
// 5 March 2026, 7:30 in Toronto, which is five hours behind UTC until 8 March.
const atMs = Date.UTC(2026, 2, 5, 12, 30);
const moment = { nowMs: Date.UTC(2026, 2, 20, 12), timeZone };

it("a moment is written and read by the yard’s clock", () => {
  expect(momentField(atMs, timeZone)).toBe("2026-03-05T07:30");
  expect(parseMoment("2026-03-05T07:30", moment)).toEqual({ ok: true, value: atMs });
  expect(parseMoment("2026-03-05T07:30:00", moment)).toEqual({ ok: true, value: atMs });
});

it.each([
  ["", "Missing: say the day and the time"],
  ["2026-02-30T07:30", "There is no 2026-02-30 07:30"],
  ["2026-03-21T07:30", "That is still to come: it is today 8:00 now"],
  ["1926-03-21T07:30", "That is before 1970"],
])("%j is refused: %s", (text, problem) => {
  expect(parseMoment(text, moment)).toEqual({ ok: false, problem });
});

it("a moment nobody touched keeps its seconds; an empty one may be left out where that is said", () => {
  expect(readMoment(undefined, { ...moment, before: atMs + 1234 }).value).toBe(atMs + 1234);
  expect(readMoment("", { ...moment, optional: true }).value).toBeNull();
  expect(readMoment("", moment).value).toBeUndefined();
});
