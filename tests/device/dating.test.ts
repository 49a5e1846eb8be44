// Readings made while the clock is not believed: true times or ages when they are sent.
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { clockProblem } from "../../device/believable-clock.ts";
import { createDating, type DatingSettings } from "../../device/dating.ts";
import { type BatchBody, formatPack } from "../../device/pack.ts";
import { parsePack } from "../../shared/wire/pack.ts";
import { temporaryFolder } from "./rig.ts";

const newestMs = Date.UTC(2026, 2, 1);
const trueStartMs = Date.UTC(2026, 2, 4);

/** A machine that was off for three days, and starts with the time it went off. */
function machine(more: Partial<DatingSettings> = {}) {
  const state = { upMs: 20_000, isSet: false };
  const settings: DatingSettings = {
    systemMs: () => (state.isSet ? trueStartMs + state.upMs : newestMs - 60_000 + state.upMs),
    upMs: () => state.upMs,
    boot: "this start",
    newestMs,
    problem: () => (state.isSet ? undefined : "not set"),
    ...more,
  };
  return { state, settings, dating: createDating(settings) };
}

function bodyAt(atMs: number) {
  const baseS = Math.floor(atMs / 1000);
  const t = (atMs - baseS * 1000) / 1000;
  return { untilMs: atMs, baseS, records: [{ n: "cell-1/mass", u: "kg", t, v: 1 }] };
}

function timeOnWire(body: BatchBody, serverMs: number): number {
  const text = formatPack({ board: "hill", spool: "s", batch: 1, skipped: 0 }, body);
  const pack = parsePack(text, { board: "hill", nowMs: serverMs });
  if (!pack.ok) throw new Error(pack.problem);
  expect(pack.value.refusals).toEqual([]);
  return pack.value.masses[0]!.atMs;
}

it("goes on after the newest reading, states ages, and true times once the clock is set", () => {
  const { state, dating } = machine();
  expect(dating.nowMs()).toBeGreaterThan(newestMs);
  state.upMs += 30_400;
  const body = dating.stamp(bodyAt(dating.nowMs()));
  const madeMs = trueStartMs + state.upMs;
  state.upMs += 3_600_000;
  const age = dating.restate(body);
  // The server's clock is right: it makes the true time of the age.
  expect(timeOnWire(age, madeMs + 3_600_000)).toBeCloseTo(madeMs, -1);
  state.isSet = true;
  expect(dating.look()).toBe(true);
  expect(dating.nowMs()).toBe(trueStartMs + state.upMs);
  state.upMs += 86_400_000;
  const dated = dating.restate(body);
  expect(timeOnWire(dated, madeMs + 9e7)).toBeCloseTo(madeMs, -1);
  expect(dated).not.toHaveProperty("undated");
});

it("leaves what was made with a believed clock as it is", () => {
  const { state, dating } = machine();
  state.isSet = true;
  dating.look();
  const body = bodyAt(dating.nowMs());
  expect(dating.restate(dating.stamp(body))).toEqual(body);
});

it("knows the age of what an earlier run of the program made, not of an earlier start", () => {
  const { state, settings, dating } = machine();
  const body = dating.stamp(bodyAt(dating.nowMs()));
  const madeMs = trueStartMs + state.upMs;
  state.upMs += 60_000;
  state.isSet = true;
  const sameStart = createDating({ ...settings, newestMs: body.untilMs });
  expect(timeOnWire(sameStart.restate(body), madeMs + 60_000)).toBeCloseTo(madeMs, -1);
  const nextStart = createDating({ ...settings, boot: "another" });
  expect(nextStart.restate(body).baseS).toBe(body.baseS);
});

it("doubts a clock before 2026, behind the newest reading, or not yet set from the network", () => {
  const folder = temporaryFolder();
  const nowMs = Date.UTC(2026, 2, 1);
  const none = join(folder, "none");
  expect(clockProblem({ nowMs, syncFolder: none })).toBeUndefined();
  expect(clockProblem({ nowMs: 0, syncFolder: none })).toContain("after 2025");
  expect(clockProblem({ nowMs, newestMs: nowMs + 1, syncFolder: none })).toContain("behind");
  const timesync = join(folder, "timesync");
  mkdirSync(timesync);
  expect(clockProblem({ nowMs, syncFolder: timesync })).toContain("not set from the network");
  writeFileSync(join(timesync, "synchronized"), "");
  expect(clockProblem({ nowMs, syncFolder: timesync })).toBeUndefined();
});

/** A clock that is right, leaps, and is set right again, on a machine that runs on. */
function leaping(more: Partial<DatingSettings> = {}) {
  const state = { upMs: 20_000, leapMs: 0 };
  const trueMs = () => trueStartMs + state.upMs;
  const settings: DatingSettings = {
    systemMs: () => trueMs() + state.leapMs,
    upMs: () => state.upMs,
    boot: "this start",
    newestMs: undefined,
    problem: ({ nowMs, newestMs: newest }) =>
      newest !== undefined && nowMs < newest ? "behind" : undefined,
    ...more,
  };
  return { state, settings, trueMs, dating: createDating(settings) };
}
const hourMs = 3_600_000;

it("what is made once a clock that was five hours ahead is set right is told by its age, and its times rise on", () => {
  const { state, trueMs, dating } = leaping();
  dating.nowMs();
  state.leapMs = 5 * hourMs;
  const ahead = dating.nowMs();
  expect(ahead).toBe(trueMs() + 5 * hourMs);
  state.upMs += 5000;
  state.leapMs = 0;
  expect(dating.nowMs()).toBe(ahead + 5000);
  expect(dating.look()).toBe(false);
  const body = dating.stamp(bodyAt(dating.nowMs()));
  const madeMs = trueMs();
  state.upMs += 7 * hourMs;
  // The clock is past all of the leap, but not past what was made since.
  expect(dating.look()).toBe(false);
  expect(timeOnWire(dating.restate(body), trueMs())).toBe(madeMs);
  state.leapMs = 6 * hourMs;
  expect(dating.look()).toBe(true);
  expect(dating.nowMs()).toBe(trueMs() + 6 * hourMs);
});

it("a clock that is set back by less than a minute is believed on", () => {
  const { state, trueMs, dating } = leaping();
  dating.nowMs();
  state.leapMs = -50_000;
  expect(dating.nowMs()).toBe(trueMs() - 50_000);
  expect(dating.look()).toBe(true);
});

it("started with a clock far behind the newest reading, its times never go back either", () => {
  const { state, trueMs, dating } = leaping({ newestMs: trueStartMs + 5 * hourMs });
  expect(dating.look()).toBe(false);
  state.upMs += 6 * hourMs;
  const beforeMs = dating.nowMs();
  expect(dating.look()).toBe(false);
  expect(dating.nowMs()).toBeGreaterThanOrEqual(beforeMs);
  expect(timeOnWire(dating.restate(dating.stamp(bodyAt(beforeMs))), trueMs())).toBe(trueMs());
});

it("after a power cut what was hours ahead of the clock that made it goes by that clock", () => {
  const { state, settings, trueMs, dating } = leaping({ newestMs: trueStartMs + 5 * hourMs });
  const body = dating.stamp(bodyAt(dating.nowMs()));
  const madeMs = trueMs();
  state.upMs += 10_000;
  const nextStart = createDating({ ...settings, boot: "another", newestMs: body.untilMs });
  expect(timeOnWire(nextStart.restate(body), trueMs())).toBeCloseTo(madeMs, -1);
});
