// A board program of the real outbox, publisher and link, whose readings are marked; tells its parent what is on its disk.
import { join } from "node:path";
import type { Log } from "../../device/log.ts";
import { createOpenLink } from "../../device/mqtt-link.ts";
import { type Outbox, openOutbox } from "../../device/outbox.ts";
import type { BatchBody } from "../../device/pack.ts";
import { createPublisher } from "../../device/publisher.ts";
import { cellName, massDg, type Plan, timeOf, turnOf } from "./marked-reading.ts";

export type PublisherOrder = {
  plan: Plan;
  url: string;
  folder: string;
  /** Which life of the board program this is, from 0. */
  life: number;
  patienceMs: number;
  segmentBytes: number;
};

export type PublisherReport =
  /** What is on the disk at the start: up to which turn, -1 for nothing; and the first it will make. */
  | { kind: "begun"; board: string; untilTurn: number; firstTurn: number }
  /** These turns are on the disk now, the newest in batch `last`. */
  | { kind: "made"; board: string; turns: number[]; last: number }
  /** So many never came to the disk, for there was no room for them in memory either. */
  | { kind: "given up"; board: string; batches: number }
  | { kind: "state"; board: string; last: number; through: number; waiting: number };

const tickMs = 25;
const stateMs = 100;

const order = JSON.parse(process.argv[2] ?? "") as PublisherOrder;
const { plan, life } = order;
const lines: Log = { debug: quiet, info: quiet, warn: write, error: write };
let isMaking = true;
const boards = plan.boards.map(startBoard);
const making = setInterval(() => {
  for (const board of boards) if (isMaking) board.make();
}, tickMs);
const telling = setInterval(() => {
  for (const board of boards) board.tellState();
}, stateMs);
process.on("message", (message) => {
  if (message === "rest") isMaking = false;
});
process.once("SIGTERM", () => void end());
process.once("disconnect", () => void end());

function quiet(): void {}

function write(event: string, fields: Record<string, unknown> = {}): void {
  process.stderr.write(`${JSON.stringify({ event, ...fields })}\n`);
}

async function end(): Promise<void> {
  clearInterval(making);
  clearInterval(telling);
  await Promise.all(boards.map(({ stop }) => stop()));
  process.exit(0);
}

function tell(report: PublisherReport): void {
  process.send?.(report);
}

function startBoard(board: string) {
  const folder = join(order.folder, board);
  const bounds = { segmentBytes: order.segmentBytes };
  const outbox = openOutbox({ folder, log: lines, bounds, retryMs: 500 });
  // Times go on after `untilMs`, which may be that of a batch that there was no room for in the end.
  const heldMs = outbox.untilMs() ?? plan.originMs - plan.stepMs;
  let turn = Math.max(turnOf(plan, heldMs) + 1, Math.ceil(turnOf(plan, Date.now())));
  const untilTurn = readTurns(outbox, Math.max(1, outbox.last())).at(-1) ?? -1;
  tell({ kind: "begun", board, untilTurn, firstTurn: turn });
  const made = createMadeWatch(board, outbox);
  const openLink = createOpenLink({ url: order.url, board, program: "faults" });
  const { patienceMs } = order;
  const publisher = createPublisher({ board, outbox, openLink, log: lines, patienceMs });
  publisher.start();
  return {
    make() {
      for (; timeOf(plan, turn) <= Date.now(); turn += 1) {
        made.append(turn);
        outbox.append(bodyOf(turn));
      }
    },
    tellState() {
      const { through } = outbox.kept();
      tell({ kind: "state", board, last: outbox.last(), through, waiting: outbox.waiting() });
    },
    async stop() {
      await publisher.stop();
      await outbox.close();
    },
  };
}

/** Tells which turns reached the disk: those that were appended first and don't wait any more. */
function createMadeWatch(board: string, outbox: Outbox) {
  const pending: number[] = [];
  let last = outbox.last();
  outbox.onMade(() => {
    const from = last + 1;
    last = outbox.last();
    const waiting = outbox.waiting();
    const begun = pending.splice(0, pending.length - waiting);
    const written = last - from + 1;
    if (begun.length === written) return tell({ kind: "made", board, turns: begun, last });
    // Memory was full: which of them were given up is told by the disk.
    const turns = readTurns(outbox, from);
    tell({ kind: "made", board, turns, last });
    tell({ kind: "given up", board, batches: begun.length - turns.length });
  });
  return { append: (turn: number) => pending.push(turn) };
}

function readTurns(outbox: Outbox, from: number): number[] {
  const turns: number[] = [];
  for (let batch = from; batch <= outbox.last(); batch += 1) {
    const found = outbox.next(batch);
    if (found !== undefined) turns.push(turnOf(plan, found.untilMs));
  }
  return turns;
}

function bodyOf(turn: number): BatchBody {
  const atMs = timeOf(plan, turn);
  const records = Array.from({ length: plan.cells }, (_, cell) => ({
    n: `${cellName(cell)}/mass`,
    u: "kg",
    t: (atMs % 1000) / 1000,
    v: massDg({ turn, cell, life }) / 10_000,
  }));
  return { untilMs: atMs, baseS: Math.floor(atMs / 1000), records };
}
