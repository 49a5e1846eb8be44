// Calibrating: what three weighings give, every refusal, and the walk through it on a terminal.
import fc from "fast-check";
import { expect, it } from "vitest";
import { calibrate } from "../../../device/calibrate.ts";
import { calibrationFrom, checkOffG, isCheckGood } from "../../../device/scale/calibrate.ts";
import { massKgFromCounts } from "../../../device/scale/calibration.ts";
import { openCalibrations } from "../../../device/scale/calibration-file.ts";
import type { Found } from "../../../device/wired-board.ts";
import { temporaryFolder } from "../rig.ts";

const weighing = (cell: string, counts: number) => ({ cell, counts: [counts] });
const from = (empty: number[], loaded: number[], knownG = 5_000) =>
  calibrationFrom({
    cell: "cell-1",
    empty: empty.map((counts, at) => weighing(`cell-${at + 1}`, counts)),
    loaded: loaded.map((counts, at) => weighing(`cell-${at + 1}`, counts)),
    knownG,
    atMs: 7,
  });

it("weighs the bare cell as nothing and the known weight as itself, whatever they were", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -1e6, max: 1e6 }),
      fc.integer({ min: 60, max: 300 }),
      fc.integer({ min: 1_000, max: 20_000 }),
      (zeroCounts, countsPerG, knownG) => {
        const loaded = zeroCounts + countsPerG * knownG;
        const found = from([zeroCounts, 5], [loaded, 6], knownG);
        if (!found.ok) throw new Error(found.problem);
        expect(massKgFromCounts(zeroCounts, found.value)).toBe(0);
        expect(massKgFromCounts(loaded, found.value)).toBeCloseTo(knownG / 1000, 9);
        expect(checkOffG(found.value, [loaded], knownG)).toBeCloseTo(0, 6);
      },
    ),
  );
});

it.each([
  ["no change", [100, 100], [900, 100], "check the cell's wires"],
  ["falling counts", [0, 100], [-537_000, 100], "swap the two signal wires"],
  ["two cells swapped", [0, 0], [100, 537_000], "the two cells are swapped"],
  ["a change on two cells", [0, 0], [537_000, 537_000], "on cell-2 too"],
  ["a weight that can't be", [0, 0], [6_000_000, 0], "is the known weight right?"],
])("refuses %s", (...[, empty, loaded, words]) => {
  expect(from(empty, loaded)).toMatchObject({
    ok: false,
    problem: expect.stringContaining(words),
  });
});

it("lets a check weight be off by 5 g and a thousandth, no more", () => {
  expect(isCheckGood(14.9, 10_000)).toBe(true);
  expect(isCheckGood(-15.1, 10_000)).toBe(false);
});

/** A person who answers in turn, before a cell that weighs in turn. */
function talkThrough(answers: (string | undefined)[], masses: number[][]) {
  const said: string[] = [];
  const left = { answers: [...answers], masses: [...masses] };
  const cells = ["cell-1", "cell-2"];
  let weighed: number[] = [];
  const asked = new Set<string>();
  const calibrations = openCalibrations(temporaryFolder());
  const board = {
    name: "hill",
    source: {
      cells: cells.map((cell) => ({ cell, calibration: undefined })),
      windowAt: () => undefined,
      surroundingsAt: () => ({}),
    },
    next(cell: string): Promise<Found> {
      if (asked.size === 0 || asked.has(cell)) {
        weighed = left.masses.shift() ?? [];
        asked.clear();
      }
      asked.add(cell);
      const massG = weighed[cells.indexOf(cell)];
      if (massG === undefined) return Promise.resolve({ fault: "absent" });
      return Promise.resolve({ counts: [1_000 + 107 * massG] });
    },
  };
  const talk = {
    say: (text: string) => void said.push(text),
    ask: () => Promise.resolve(left.answers.shift()),
  };
  const done = calibrate({ board, cell: "cell-1", calibrations, talk, nowMs: () => 7 });
  return { done, said, calibrations };
}

it("walks through empty, known weight and check weight, and stores what it found", async () => {
  const { done, said, calibrations } = talkThrough(
    ["", "5000 g", "2,5", "2000"],
    [[0, 3], [5_000, 3], [2_001]],
  );
  expect(await done).toBe(true);
  expect(calibrations.of("cell-1")).toEqual({
    zeroCounts: 1_000,
    countsPerG: 107,
    calibratedAtMs: 7,
    knownG: 5_000,
    checkOffG: expect.closeTo(1, 6),
  });
  expect(said.join("\n")).toContain("off by 1.0 g");
  expect(said.join("\n")).toContain('got "2,5"');
});

it("does without a check weight", async () => {
  const { done, calibrations } = talkThrough(
    ["", "5000", ""],
    [
      [0, 3],
      [5_000, 3],
    ],
  );
  expect(await done).toBe(true);
  expect(calibrations.of("cell-1")?.checkOffG).toBeUndefined();
});

it.each([
  ["a bad check weight", ["", "5000", "2000"], [[0, 3], [5_000, 3], [2_300]], "too much"],
  [
    "swapped cells",
    ["", "5000"],
    [
      [0, 3],
      [0, 5_003],
    ],
    "swapped",
  ],
  ["a fault", [""], [[]], "gives no weight (absent)"],
  ["a person who leaves", [undefined], [[0, 3]], "Calibrating"],
])("stores nothing after %s", async (...[, answers, masses, words]) => {
  const { done, said, calibrations } = talkThrough(answers, masses);
  expect(await done).toBe(false);
  expect(calibrations.of("cell-1")).toBeUndefined();
  expect(said.join("\n")).toContain(words);
});
