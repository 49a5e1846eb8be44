// Writes one parsed pack to the store, inside a transaction that someone else commits.
import type { Numbering, Pack } from "../../shared/wire/pack.ts";
import type { Refusal } from "../../shared/wire/senml.ts";
import { type Boards, most } from "../db/boards.ts";
import type { LateStore } from "../db/late.ts";
import type { Readings } from "../db/readings.ts";
import type { RejectedStore } from "../db/rejected.ts";
import type { Spools } from "../db/spools.ts";

export type StoreParts = {
  readings: Readings;
  boards: Boards;
  spools: Spools;
  late: Pick<LateStore, "learn" | "note" | "undone">;
  rejected: RejectedStore;
};

type Range = { fromMs: number; untilMs: number };

/** What writing one pack did; counts of readings of every kind. */
export type Outcome = {
  board: string;
  stored: number;
  duplicates: number;
  refusals: Refusal[];
  /** Why the pack was refused as a whole. */
  problem: string | undefined;
  cells: Map<number, Range>;
  others: Range | undefined;
  kept: { spool: string; through: number } | undefined;
};

/** Where a payload came from and when it arrived, for the record of what was refused. */
export type Arrival = { board: string; source: string; text: string; atMs: number };

export function emptyOutcome(board: string): Outcome {
  return {
    board,
    stored: 0,
    duplicates: 0,
    refusals: [],
    problem: undefined,
    cells: new Map(),
    others: undefined,
    kept: undefined,
  };
}

/** A batch that was settled before is not looked at again: its relative times would differ. */
export function writePack(parts: StoreParts, arrival: Arrival, pack: Pack): Outcome {
  const { board, atMs } = arrival;
  if (!parts.boards.hasBoardRoom(board)) {
    const problem = `a yard requires at most ${most.boards} boards, got another: ${board}`;
    return writeRefused(parts, arrival, { problem, numbering: undefined });
  }
  const outcome = emptyOutcome(board);
  outcome.refusals = [...pack.refusals];
  const numbering = numberingOf(pack);
  if (numbering !== undefined || readingCount(pack) > 0) parts.boards.heard(board, atMs);
  if (numbering !== undefined && parts.spools.isSettled({ board, ...numbering })) {
    outcome.refusals = [];
    outcome.duplicates = readingCount(pack);
  } else {
    const sensors = createSensorKeys(parts, outcome, atMs);
    writeMasses(parts, outcome, { pack, ...sensors });
    writeOthers(parts, outcome, { pack, ...sensors });
    parts.late.note(outcome);
    writeRefusals(parts, arrival, outcome.refusals);
  }
  return numbering === undefined ? outcome : settle(parts, outcome, { numbering, atMs });
}

/** A pack that is refused as a whole; its number is settled where it could be read. */
export function writeRefused(
  parts: StoreParts,
  arrival: Arrival,
  { problem, numbering }: { problem: string; numbering: Numbering | undefined },
): Outcome {
  const { board, atMs, source, text } = arrival;
  const outcome = { ...emptyOutcome(board), problem };
  parts.rejected.insertRejected({ atMs, source, reason: problem, sample: text });
  if (numbering === undefined || !parts.boards.hasBoardRoom(board)) return outcome;
  parts.boards.heard(board, atMs);
  return settle(parts, outcome, { numbering, atMs });
}

function settle(
  parts: StoreParts,
  outcome: Outcome,
  { numbering, atMs }: { numbering: Numbering; atMs: number },
): Outcome {
  const through = parts.spools.settle({ board: outcome.board, ...numbering }, atMs);
  return { ...outcome, kept: { spool: numbering.spool, through } };
}

function numberingOf({ spool, batch, skipped }: Pack): Numbering | undefined {
  return spool === undefined || batch === undefined ? undefined : { spool, batch, skipped };
}

function readingCount(pack: Pack): number {
  const others = pack.temperatures.length + pack.values.length + pack.faults.length;
  return pack.masses.length + others;
}

/** Keys by name; undefined where there is no room for one more. */
type SensorKeys = Record<"cellKey" | "probeKey", (name: string) => number | undefined>;
type Writing = SensorKeys & { pack: Pack };

function writeMasses(parts: StoreParts, outcome: Outcome, { pack, ...sensors }: Writing): void {
  for (const { cell, atMs, massG, spreadG = null, counts = null } of pack.masses) {
    const cellKey = sensors.cellKey(cell);
    if (cellKey === undefined) continue;
    const isNew = parts.readings.insertReading({ cellKey, atMs, massG, spreadG, counts });
    count(outcome, isNew);
    if (isNew) outcome.cells.set(cellKey, widened(outcome.cells.get(cellKey), atMs));
  }
}

function writeOthers({ readings }: StoreParts, outcome: Outcome, writing: Writing): void {
  const { pack } = writing;
  const { board } = outcome;
  const counted = (isNew: boolean, atMs: number) => {
    count(outcome, isNew);
    if (isNew) outcome.others = widened(outcome.others, atMs);
  };
  for (const { probe, atMs, tempC } of pack.temperatures) {
    const probeKey = writing.probeKey(probe);
    if (probeKey === undefined) continue;
    counted(readings.insertTemperature({ probeKey, atMs, tempC }), atMs);
  }
  for (const value of pack.values) {
    counted(readings.insertValue({ board, ...value }), value.atMs);
  }
  for (const { cell, atMs, fault } of pack.faults) {
    const cellKey = writing.cellKey(cell);
    if (cellKey === undefined) continue;
    counted(readings.insertFault({ cellKey, atMs, fault }), atMs);
  }
}

/** Each name is looked up, or refused, once a pack. */
function createSensorKeys(parts: StoreParts, outcome: Outcome, atMs: number): SensorKeys {
  const { boards, late } = parts;
  const { board } = outcome;
  const knownCellKey = (name: string) => {
    const key = boards.cellKey({ board, name, atMs });
    late.learn(board, key);
    return key;
  };
  return {
    cellKey: onceEach((name) =>
      boards.hasCellRoom(board, name) ? knownCellKey(name) : refuseSensor(outcome, name),
    ),
    probeKey: onceEach((name) =>
      boards.hasProbeRoom(board, name)
        ? boards.probeKey({ board, name, atMs })
        : refuseSensor(outcome, name),
    ),
  };
}

function onceEach<T>(find: (name: string) => T): (name: string) => T {
  const found = new Map<string, T>();
  return (name) => {
    if (!found.has(name)) found.set(name, find(name));
    return found.get(name) as T;
  };
}

function refuseSensor({ refusals }: Outcome, name: string): undefined {
  const reason = `a board requires at most ${most.sensorsOfBoard} cells and as many probes, got another`;
  refusals.push({ record: name, reason });
}

function count(outcome: Outcome, isNew: boolean): void {
  if (isNew) outcome.stored += 1;
  else outcome.duplicates += 1;
}

export function widened(range: Range | undefined, fromMs: number, untilMs = fromMs): Range {
  if (range === undefined) return { fromMs, untilMs };
  return { fromMs: Math.min(range.fromMs, fromMs), untilMs: Math.max(range.untilMs, untilMs) };
}

const mostReasons = 5;

function writeRefusals(parts: StoreParts, arrival: Arrival, refusals: Refusal[]): void {
  if (refusals.length === 0) return;
  const told = refusals.slice(0, mostReasons).map(({ record, reason }) => `${record}: ${reason}`);
  const more = refusals.length - told.length;
  const reason = `${told.join("; ")}${more > 0 ? `; and ${more} more` : ""}`;
  const { atMs, source, text } = arrival;
  parts.rejected.insertRejected({ atMs, source, reason, sample: text });
}
