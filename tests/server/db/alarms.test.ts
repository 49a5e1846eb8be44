// Alarm episodes, sessions and the outlook, in a real store.
import { expect, test } from "vitest";
import { createAlarmStore } from "../../../server/db/alarms.ts";
import { createForecastStore } from "../../../server/db/forecast.ts";
import { openStore } from "../../../server/db/open.ts";
import { createSessionStore } from "../../../server/db/sessions.ts";

const startMs = 1_772_000_000_000;

test("an alarm is raised, changed, seen, cleared and stays in the list", () => {
  const alarms = createAlarmStore(openStore(":memory:"));
  const brim = { probability: 0.4, t10Ms: startMs + 1, t50Ms: startMs + 2, t90Ms: null };
  const raised = { kind: "brim", subject: "gate", severity: "soon", text: "fills up" } as const;
  const id = alarms.insert({ ...raised, raisedAtMs: startMs, brim });
  expect(alarms.listOpen()).toEqual([
    { ...raised, id, raisedAtMs: startMs, clearedAtMs: null, seenAtMs: null, brim },
  ]);
  alarms.update(id, { severity: "now", text: "fills up fast", noticed: { sentAtMs: startMs } });
  alarms.markSeen(id, startMs + 5);
  alarms.markSeen(id, startMs + 9);
  expect(alarms.find(id)).toMatchObject({ seenAtMs: startMs + 5, noticed: { sentAtMs: startMs } });
  alarms.clear(id, startMs + 10);
  alarms.clear(id, startMs + 20);
  expect(alarms.listOpen()).toEqual([]);
  expect(alarms.list({ fromMs: startMs + 10, toMs: startMs + 11 })).toEqual([
    {
      ...raised,
      id,
      severity: "now",
      text: "fills up fast",
      raisedAtMs: startMs,
      clearedAtMs: startMs + 10,
      seenAtMs: startMs + 5,
    },
  ]);
  expect(alarms.list({ fromMs: startMs + 11, toMs: startMs + 12 })).toEqual([]);
  expect(alarms.find(99)).toBeUndefined();
});

test("one alarm of a kind and subject is open at a time, the next episode is another", () => {
  const alarms = createAlarmStore(openStore(":memory:"));
  const raised = { kind: "silent", subject: "hill", severity: "soon", text: "silent" } as const;
  const id = alarms.insert({ ...raised, raisedAtMs: startMs });
  expect(() => alarms.insert({ ...raised, raisedAtMs: startMs + 1 })).toThrow("UNIQUE");
  alarms.clear(id, startMs + 1);
  expect(alarms.insert({ ...raised, raisedAtMs: startMs + 2 })).not.toBe(id);
});

test("a session holds until it runs out or is ended", () => {
  const sessions = createSessionStore(openStore(":memory:"));
  sessions.insert({ hash: "a", createdMs: 10, expiresMs: 20, linkId: null });
  const has = (hash: string, nowMs: number) => sessions.find(hash, nowMs) !== undefined;
  expect([has("a", 19), has("a", 20), has("b", 19)]).toEqual([true, false, false]);
  sessions.insert({ hash: "b", createdMs: 30, expiresMs: 40, linkId: null });
  expect(has("a", 19)).toBe(false);
  sessions.remove("b");
  expect(has("b", 31)).toBe(false);
});

test("the newest word on an hour holds and takes nothing away that it does not speak of", () => {
  const forecast = createForecastStore(openStore(":memory:"));
  forecast.put([{ atMs: startMs, airC: -1.26, cloudPercent: 40 }]);
  forecast.put([
    { atMs: startMs, airC: 2.5, cloudPercent: null },
    { atMs: startMs + 3_600_000, airC: null, cloudPercent: 10.4 },
  ]);
  expect(forecast.list({ fromMs: startMs, toMs: startMs + 7_200_000 })).toEqual([
    { atMs: startMs, airC: 2.5, cloudPercent: 40 },
    { atMs: startMs + 3_600_000, airC: null, cloudPercent: 10 },
  ]);
});
