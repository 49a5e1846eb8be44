// Orders from the page and the lamp: obeyed once, in time, and answered in words.
import { expect, it } from "vitest";
import { createAlarmLamp, lampStateFrom } from "../../device/lamp.ts";
import type { LampState } from "../../device/link/pins.ts";
import { createOrders } from "../../device/orders.ts";
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
