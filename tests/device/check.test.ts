// The check of a board: a line for each part, and first the thing to fix that all else hangs on.
import { expect, it } from "vitest";
import { type CheckFindings, checkReport } from "../../device/check-report.ts";
import { createRandom } from "../../device/yard/random.ts";

const random = createRandom(5);
/** Windows of a cell of 107 counts a gram with this noise and drift in grams. */
const windows = (noiseG: number, driftG = 0) =>
  Array.from({ length: 13 }, (_, at) => ({
    counts: Array.from({ length: 10 }, () =>
      Math.round(107 * (5_000 + noiseG * random.normal() + (driftG * at) / 12)),
    ),
  }));
const cell = (channel: number, found: CheckFindings["cells"][number]["found"]) => ({
  cell: `cell-${channel + 1}`,
  channel,
  found,
  countsPerG: 107 as number | undefined,
  calibratedAtMs: 1,
});

const good: CheckFindings = {
  board: "hill",
  linkProblem: undefined,
  firmware: "StandardFirmata 2.5",
  cells: [cell(0, windows(0.33)), cell(1, windows(0.33))],
  thermometer: { wanted: true, airC: -1.25 },
  barometer: { wanted: false, pressurePa: undefined },
  supply: { wanted: false, supplyV: undefined },
  clock: { nowMs: Date.UTC(2026, 2, 1), problem: undefined },
  broker: { url: "mqtt://127.0.0.1:1883", problem: undefined },
};

it("finds nothing to fix where all is well, and tells the noise it was given", () => {
  const { lines, nextToFix } = checkReport(good);
  expect(nextToFix).toBeUndefined();
  expect(lines).toHaveLength(6);
  const noiseG = Number(/noise ([\d.]+) g/.exec(lines[1]!)?.[1]);
  expect(noiseG).toBeGreaterThan(0.2);
  expect(noiseG).toBeLessThan(0.45);
});

it.each<[string, Partial<CheckFindings>, string]>([
  ["another program on the port", { linkProblem: "Cannot lock port" }, "stop the board program"],
  ["no right to the port", { linkProblem: "Permission denied" }, "dialout"],
  ["no port", { linkProblem: "No such file or directory" }, "/dev/serial/by-id"],
  ["no firmware", { linkProblem: "does not speak Firmata" }, "Flash StandardFirmata"],
  ["a stuck bus", { linkProblem: "its I2C bus is stuck" }, "switch the board off and on"],
  [
    "no multiplexer",
    { cells: [cell(0, [{ fault: "absent" }]), cell(1, [{ fault: "absent" }])] },
    "check the multiplexer first",
  ],
  [
    "one amplifier gone",
    { cells: [cell(0, windows(0.3)), cell(1, [{ fault: "absent" }])] },
    "cell-2 (channel 1): its amplifier does not answer",
  ],
  [
    "a loose wire",
    { cells: [cell(0, [{ fault: "saturated" }])] },
    "a wire of the load cell is off",
  ],
  ["noise", { cells: [cell(0, windows(8))] }, "cell-1 (channel 0) is noisy"],
  ["drift", { cells: [cell(0, windows(0.33, 60))] }, "cell-1 (channel 0) drifts"],
  [
    "no calibration",
    { cells: [{ ...cell(0, windows(0.33)), countsPerG: undefined }] },
    "never calibrated",
  ],
  ["a silent thermometer", { thermometer: { wanted: true, airC: undefined } }, "Thermometer"],
  ["a wrong clock", { clock: { nowMs: 0, problem: "it requires a time after 2025" } }, "Clock"],
  ["no broker", { broker: { url: "mqtt://a", problem: "refused" } }, "Start the server"],
])("says what to do about %s", (_, change, words) => {
  expect(checkReport({ ...good, ...change }).nextToFix).toContain(words);
});

it("names what is broken before what was never calibrated", () => {
  const uncalibrated = { ...cell(0, windows(0.3)), countsPerG: undefined };
  const cells = [uncalibrated, cell(1, [{ fault: "absent" }])];
  const { lines, nextToFix } = checkReport({ ...good, cells });
  expect(nextToFix).toContain("(channel 1): its amplifier does not answer");
  expect(lines.join("\n")).toContain("(channel 1): no answer from its amplifier.");
});
