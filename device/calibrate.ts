// Walks a person through calibrating one cell on the terminal: empty, a known weight, a check weight.

import { calibrationFrom, checkOffG, isCheckGood, type Weighing } from "./scale/calibrate.ts";
import type { CalibrationStore } from "./scale/calibration-file.ts";
import type { WiredBoard } from "./wired-board.ts";

export type Talk = {
  say(text: string): void;
  /** What the person typed; undefined when they ended it. */
  ask(question: string): Promise<string | undefined>;
};

export type CalibrateSettings = {
  board: Pick<WiredBoard, "name" | "source" | "next">;
  cell: string;
  calibrations: CalibrationStore;
  talk: Talk;
  nowMs: () => number;
};

const mostTries = 5;

/** True when the cell is calibrated and that is on disk. */
export async function calibrate(settings: CalibrateSettings): Promise<boolean> {
  const { board, cell, talk, calibrations } = settings;
  const cells = board.source.cells.map((own) => own.cell);
  if (!cells.includes(cell)) {
    talk.say(`Board ${board.name} has no cell ${cell}; it has ${cells.join(", ")}.`);
    return false;
  }
  talk.say(`Calibrating ${cell} of board ${board.name}. Three steps, a few minutes.`);
  talk.say("Let cell and weights reach the air's temperature first: an hour outside is good.");
  if (
    !(await step(talk, "1 of 3. Take everything off this cell, keep hands off. Then press Enter: "))
  ) {
    return false;
  }
  const empty = await weighAll(settings, cells);
  if (empty === undefined) return false;
  const knownG = await askG(talk, "2 of 3. Hang a known weight on it. How many grams? ");
  if (knownG === undefined) return false;
  const loaded = await weighAll(settings, cells);
  if (loaded === undefined) return false;
  const found = calibrationFrom({ cell, empty, loaded, knownG, atMs: settings.nowMs() });
  if (!found.ok) {
    talk.say(`Not stored: ${cell} ${found.problem}.`);
    return false;
  }
  talk.say(`${found.value.countsPerG.toFixed(2)} counts a gram.`);
  const checked = await check(settings, found.value);
  if (checked === "bad") return false;
  calibrations.put(cell, { ...found.value, ...(checked === "none" ? {} : { checkOffG: checked }) });
  const { countsPerG, zeroCounts } = found.value;
  talk.say(
    `Stored. ${cell} weighs from now on with ${countsPerG.toFixed(5)} counts a gram, ${zeroCounts} counts when bare.`,
  );
  talk.say(
    "If it was calibrated wrong before: under Set-up, the page weighs its past anew with these.",
  );
  return true;
}

type Checked = number | "none" | "bad";

/** The check weight tells whether the cell is straight, not just whether it moves. */
async function check(
  settings: CalibrateSettings,
  record: Parameters<typeof checkOffG>[0],
): Promise<Checked> {
  const { talk, cell } = settings;
  const question =
    "3 of 3. Put another known weight on it instead. How many grams (Enter: do without)? ";
  const checkG = await askG(talk, question, true);
  if (checkG === undefined) return "none";
  const [weighing] = (await weighAll(settings, [cell])) ?? [];
  if (weighing === undefined) return "bad";
  const offG = checkOffG(record, weighing.counts, checkG);
  talk.say(
    `The check weight of ${checkG} g weighs ${(checkG + offG).toFixed(1)} g: off by ${offG.toFixed(1)} g.`,
  );
  if (isCheckGood(offG, checkG)) return offG;
  talk.say("That is too much: does the bucket or the cell touch anything? Are both weights right?");
  talk.say("Not stored.");
  return "bad";
}

async function step(talk: Talk, question: string): Promise<boolean> {
  return (await talk.ask(question)) !== undefined;
}

/** Grams; undefined when the person gave none. */
async function askG(talk: Talk, question: string, mayBeNone = false): Promise<number | undefined> {
  for (let tries = 0; tries < mostTries; tries += 1) {
    const text = await talk.ask(question);
    if (text === undefined || (mayBeNone && text.trim() === "")) return undefined;
    const massG = Number(text.trim().replace(/\s*g$/, "").replace(",", "."));
    if (massG >= 100 && massG <= 100_000) return massG;
    talk.say(`A weight requires a number of grams from 100 to 100000, got "${text.trim()}".`);
  }
  return undefined;
}

/** One quiet window of each cell; says what is wrong with the one that is calibrated. */
async function weighAll(
  { board, cell, talk }: CalibrateSettings,
  cells: readonly string[],
): Promise<Weighing[] | undefined> {
  talk.say("Weighing...");
  const all = await Promise.all(
    cells.map(async (own) => ({ cell: own, found: await board.next(own) })),
  );
  const fault = all.find((one) => one.cell === cell && "fault" in one.found)?.found;
  if (fault !== undefined && "fault" in fault) {
    talk.say(
      `Not stored: ${cell} gives no weight (${fault.fault}). npm run board -- check says more.`,
    );
    return undefined;
  }
  return all.flatMap((one) =>
    "counts" in one.found ? [{ cell: one.cell, counts: one.found.counts }] : [],
  );
}
