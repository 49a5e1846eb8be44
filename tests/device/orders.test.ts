// Orders from the page and the lamp: obeyed once, in time, and answered in words.
import { rmSync, writeFileSync } from "node:fs";
import { expect, it } from "vitest";
import { createAlarmLamp, lampStateFrom } from "../../device/lamp.ts";
import type { LampState } from "../../device/link/pins.ts";
import { createOrders, createSimulatedOrders } from "../../device/orders.ts";
import { openCalibrations } from "../../device/scale/calibration-file.ts";
import { temporaryFolder } from "./rig.ts";

const nowMs = () => 1_000_000;
const calibration = { zeroCounts: 1_000, countsPerG: 100, calibratedAtMs: 1, knownG: 5_000 };

function rig(counts: number[] | null = [1_000 + 100 * 12]) {
  const shown: LampState[] = [];
  const lamp = createAlarmLamp({ show: (state) => void shown.push(state) });
  const folder = temporaryFolder();
  const calibrations = openCalibrations(folder);
  let weighings = 0;
  const board = {
    name: "hill",
    source: {
      cells: ["cell-1", "cell-2"].map((cell) => ({ cell, calibration: undefined })),
      windowAt: () => undefined,
      surroundingsAt: () => ({}),
    },
    next: () => {
      weighings += 1;
      return Promise.resolve(counts === null ? { fault: "absent" as const } : { counts });
    },
  };
  const obey = createOrders({ nowMs, board, calibrations, lamp });
  const order = (fields: object) =>
    obey(JSON.stringify({ v: 1, id: "a", order: "zero", expiresMs: 1_000_001, ...fields }));
  return { shown, lamp, folder, calibrations, order, obey, weighings: () => weighings };
}

it("zeroes a calibrated cell once, keeps its gain, and answers the same order the same", async () => {
  const { order, calibrations, folder, weighings } = rig();
  calibrations.put("cell-1", calibration);
  const answer = await order({ cell: "cell-1" });
  expect(answer).toEqual({
    v: 1,
    id: "a",
    done: true,
    text: "cell-1 is zeroed (it had moved by 12.0 g).",
  });
  expect(await order({ cell: "cell-1" })).toEqual(answer);
  expect(weighings()).toBe(1);
  const stored = { ...calibration, zeroCounts: 2_200, zeroedAtMs: 1_000_000 };
  expect(openCalibrations(folder).of("cell-1")).toEqual(stored);
});

it.each([
  ["too late", { cell: "cell-1", expiresMs: 999_999 }, "came too late"],
  ["a cell that isn't there", { cell: "cell-9" }, "has no cell cell-9"],
  ["a cell that was never calibrated", { cell: "cell-2" }, "never calibrated"],
])("does not obey: %s", async (_, fields, words) => {
  const { order, calibrations } = rig();
  calibrations.put("cell-1", calibration);
  expect(await order(fields)).toMatchObject({ done: false, text: expect.stringContaining(words) });
  expect(calibrations.of("cell-1")).toEqual(calibration);
});

it("does not zero a cell with a bucket on it, nor one without weight", async () => {
  const full = rig([1_000 + 100 * 7_000]);
  full.calibrations.put("cell-1", calibration);
  expect(await full.order({ cell: "cell-1" })).toMatchObject({
    done: false,
    text: expect.stringContaining("take the bucket off first"),
  });
  const broken = rig(null);
  broken.calibrations.put("cell-1", calibration);
  expect(await broken.order({ cell: "cell-1" })).toMatchObject({ done: false });
});

it("tells what a cell weighs with, in words and figures", async () => {
  const { order, calibrations } = rig();
  calibrations.put("cell-1", { ...calibration, zeroedAtMs: 5 });
  expect(await order({ order: "calibration", cell: "cell-1" })).toEqual({
    v: 1,
    id: "a",
    done: true,
    text: "cell-1 weighs with 100.00 counts a gram, 1000 counts when bare, calibrated 1970-01-01 00:00 UTC.",
    calibration: { zeroCounts: 1_000, countsPerG: 100, calibratedAtMs: 1, zeroedAtMs: 5 },
  });
  const never = await order({ id: "b", order: "calibration", cell: "cell-2" });
  expect(never).toMatchObject({ done: false, text: expect.stringContaining("never calibrated") });
});

it("answers for a simulated board what is true of one", async () => {
  const source = {
    cells: [{ cell: "cell-1", calibration: { zeroCounts: 3, countsPerG: 100 } }],
    windowAt: () => undefined,
    surroundingsAt: () => ({}),
  };
  const obey = createSimulatedOrders({ name: "dell", source, nowMs, calibratedAtMs: 7 });
  const order = (fields: object) =>
    obey(JSON.stringify({ v: 1, expiresMs: 1_000_001, cell: "cell-1", ...fields }));
  expect(await order({ id: "a", order: "zero" })).toMatchObject({
    done: false,
    text: "Board dell is simulated: its cells need no zero.",
  });
  expect(await order({ id: "b", order: "identify" })).toMatchObject({
    text: "Board dell has no lamp.",
  });
  expect(await order({ id: "c", order: "calibration" })).toMatchObject({
    calibration: { zeroCounts: 3, countsPerG: 100, calibratedAtMs: 7 },
  });
});

it("says so when a zero can't be written down", async () => {
  const { order, calibrations, folder } = rig();
  calibrations.put("cell-1", calibration);
  rmSync(folder, { recursive: true });
  writeFileSync(folder, "no folder any more");
  const answer = await order({ cell: "cell-1" });
  expect(answer).toMatchObject({ done: false, text: expect.stringContaining("This failed: ") });
  expect(calibrations.of("cell-1")).toEqual(calibration);
});

it("answers nothing to what is no order", async () => {
  const { obey } = rig();
  expect(await obey("{")).toBeUndefined();
  expect(await obey('{"v":1,"id":"a","order":"dance","expiresMs":9}')).toBeUndefined();
});

it("follows the alarms of all buckets with its lamp", () => {
  const { lamp, shown } = rig();
  const note = (...kinds: string[]) => JSON.stringify({ v: 1, kinds, text: "" });
  lamp.hear("b1", note("boil"));
  lamp.hear("b2", note("brimful"));
  lamp.hear("b2", "nonsense");
  lamp.hear("b2", "");
  lamp.hear("b1", note());
  expect(shown).toEqual(["on", "blinking", "on", "off"]);
  expect(lampStateFrom(["supply", "silent"])).toBe("on");
});

it("shows a lamp as ordered, and which board it is", async () => {
  const { lamp, order, shown } = rig();
  expect(await order({ id: "b", order: "lamp", lamp: "on" })).toMatchObject({ done: true });
  expect(await order({ id: "c", order: "identify" })).toMatchObject({ done: true });
  expect(shown).toEqual(["on", "blinking"]);
  lamp.stop();
});
