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
