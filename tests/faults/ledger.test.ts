// That the comparison of what was made with what is stored finds each kind of harm: one that can't would prove nothing.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { openRig, startMs } from "../helpers/store-rig.ts";
import { createLedger, type Ledger } from "./ledger.ts";
import { cellName, massDg, type Plan, timeOf } from "./marked-reading.ts";

const plan: Plan = { originMs: startMs - 1e6, stepMs: 100, boards: ["hill"], cells: 2 };
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-ledger-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

function madeLedger(turns: number[]): Ledger {
  const ledger = createLedger(plan);
  ledger.hear({ kind: "begun", board: "hill", untilTurn: -1, firstTurn: 0 }, 0);
  ledger.hear({ kind: "made", board: "hill", turns, last: turns.length }, 0);
  return ledger;
}

function compare(ledger: Ledger, stored: { turn: number; life?: number; cells?: number }[]) {
  const { sqlite, boards, readings } = openRig(folder);
  boards.heard("hill", startMs);
  for (const { turn, life = 0, cells = plan.cells } of stored) {
    for (let cell = 0; cell < cells; cell += 1) {
      const cellKey = boards.cellKey({ board: "hill", name: cellName(cell), atMs: startMs });
      const massG = massDg({ turn, cell, life }) / 10;
      const atMs = timeOf(plan, turn);
      readings.insertReading({ cellKey, atMs, massG, spreadG: null, counts: null });
    }
  }
  sqlite.close();
  return ledger.compare(join(folder, "brimful.db"));
}

it("all that was made and nothing else is well", () => {
  const found = compare(madeLedger([0, 1]), [{ turn: 0 }, { turn: 1 }]);
  expect(found).toMatchObject({ made: 4, stored: 4, lost: 0, doubled: 0, lostByOutbox: 0 });
});

it("one reading of one cell that is missing is lost", () => {
  const found = compare(madeLedger([0, 1]), [{ turn: 0 }, { turn: 1, cells: 1 }]);
  expect(found).toMatchObject({ stored: 3, lost: 1, doubled: 0 });
});

it("a reading that nobody made, or at another time, counts as doubled", () => {
  const found = compare(madeLedger([0]), [{ turn: 0 }, { turn: 1 }, { turn: 0.5 }]);
  expect(found).toMatchObject({ stored: 2, lost: 0, doubled: 4 });
});

it("a reading of another life in the place of the one on disk is both", () => {
  const found = compare(madeLedger([0]), [{ turn: 0, life: 1 }]);
  expect(found).toMatchObject({ lost: 2, doubled: 2 });
});

it("what an outbox no longer has when it is opened again is told", () => {
  const ledger = madeLedger([0, 1, 2]);
  ledger.hear({ kind: "begun", board: "hill", untilTurn: 1, firstTurn: 5 }, 1);
  expect(compare(ledger, [])).toMatchObject({ lostByOutbox: 2 });
});

it("what a killed life wrote without telling is made, but not the turns before it began", () => {
  const ledger = madeLedger([0]);
  ledger.hear({ kind: "begun", board: "hill", untilTurn: 0, firstTurn: 10 }, 1);
  ledger.hear({ kind: "begun", board: "hill", untilTurn: 12, firstTurn: 20 }, 2);
  expect(ledger.made()).toBe(2 * 4);
});
