// Takes what boards send, whichever way it came, and answers once it is durably stored or refused.
import type { Clock } from "../../shared/clock.ts";
import { AppError } from "../../shared/errors.ts";
import {
  mostPackBytes,
  type Numbering,
  parsePack,
  salvageNumbering,
} from "../../shared/wire/pack.ts";
import { latestAheadMs, parseJson } from "../../shared/wire/record-checks.ts";
import type { Refusal } from "../../shared/wire/senml.ts";
import { type Kept, presenceSchema } from "../../shared/wire/topics.ts";
import type { ClockSign } from "../care/clock-sign.ts";
import type { Sqlite } from "../db/sqlite.ts";
import { createOnceAMinute, type Log, type OnceAMinute } from "../log.ts";
import type { Committed } from "../watch/watch.ts";
import { committedFrom, keptFrom } from "./committed.ts";
import { createGroupCommit, type GroupCommit, isStoreFailure } from "./group-commit.ts";
import {
  type Arrival,
  emptyOutcome,
  type Outcome,
  type StoreParts,
  writePack,
  writeRefused,
} from "./write-pack.ts";

export type IntakeParts = StoreParts & {
  sqlite: Sqlite;
  storeId: string;
  clock: Clock;
  /** Left out where the clock always is. */
  isClockBelieved?: ClockSign;
  log: Log;
  /** Called after each commit that brought new readings. */
  onCommitted(batch: Committed[]): void;
  /** Called after a commit when a board's presence was stored. */
  onPresence(board: string): void;
  /** Called with the latest time a board's pack states, however wrong. */
  onPackTime?(board: string, newestMs: number): void;
  /** Called after each commit, once for each board and spool in it; to be retained, QoS 1. */
  publishKept(board: string, kept: Kept): void;
};

export type Accepted = {
  stored: number;
  duplicates: number;
  refusals: Refusal[];
  /** Why the whole payload was refused; undefined when it was read. */
  problem: string | undefined;
};

export type IntakeCounts = {
  packs: number;
  readings: number;
  duplicates: number;
  refusedPacks: number;
  refusedRecords: number;
  storeFailures: number;
  /** Packs that are to be written now. */
  waitingPacks: number;
};

export type Payload = { board: string; payload: Uint8Array | string; source: string };

export type Intake = {
  /**
   * Resolves after the commit, also when all was refused: then nothing needs to be sent again.
   * Rejects with AppError "storage…" when the store failed and nothing was kept, and "clock-unset"
   * for a numbered pack ahead of a clock that isn't believed yet: its board is to send it again.
   */
  accept(payload: Payload): Promise<Accepted>;
  /** The same for what a board says of its being there. */
  presence(payload: Payload): Promise<Accepted>;
  /** The same for anything else that is to be durable before it is acknowledged. */
  keep(write: () => void): Promise<void>;
  /** Keeps a refusal that happened before a board's pack could be looked at. */
  refuse(refused: { source: string; problem: string; sample: string }): Promise<void>;
  counts(): IntakeCounts;
  /** Commits what waits; safe twice. */
  stop(): void;
};

type Inside = {
  parts: IntakeParts;
  commits: GroupCommit<Outcome>;
  counts: IntakeCounts;
  onceAMinute: OnceAMinute;
};

export function createIntake(parts: IntakeParts): Intake {
  const counts: IntakeCounts = {
    packs: 0,
    readings: 0,
    duplicates: 0,
    refusedPacks: 0,
    refusedRecords: 0,
    storeFailures: 0,
    waitingPacks: 0,
  };
  const commits = createGroupCommit<Outcome>({
    sqlite: parts.sqlite,
    onCommit: (outcomes) => announce(parts, outcomes),
    onRollback: () => {
      parts.boards.forgetKeys();
      parts.late.undone();
    },
  });
  const inside = { parts, commits, counts, onceAMinute: createOnceAMinute(parts.clock) };
  return {
    accept: (payload) => acceptPack(inside, payload),
    presence: (payload) => acceptPresence(inside, payload),
    keep: async (write) => {
      await run(inside, () => {
        write();
        return emptyOutcome("");
      });
    },
    refuse: async ({ source, problem, sample }) => {
      const arrival = { board: source, source, text: sample, atMs: parts.clock.nowMs() };
      await refuseWhole(inside, arrival, { problem, numbering: undefined });
    },
    counts: () => ({ ...counts, waitingPacks: commits.waiting() }),
    stop: () => commits.stop(),
  };
}

function announce(parts: IntakeParts, outcomes: Outcome[]): void {
  const committed = committedFrom(outcomes);
  try {
    for (const { board, kept } of keptFrom(outcomes, parts.storeId)) parts.publishKept(board, kept);
    if (committed.length > 0) parts.onCommitted(committed);
  } catch (error) {
    // The readings are stored: what watches them must not undo that.
    parts.log.error("telling of a commit failed", { problem: String(error) });
  }
}

async function acceptPack(inside: Inside, payload: Payload): Promise<Accepted> {
  if (payload.payload.length > mostPackBytes) return refuseTooLong(inside, payload);
  const arrival = arrivalOf(inside, payload);
  const { board, atMs, text } = arrival;
  const pack = parsePack(text, { board, nowMs: atMs });
  if (!pack.ok) return refusePack(inside, arrival, pack.problem);
  const { newestMs } = pack.value;
  if (newestMs !== undefined) inside.parts.onPackTime?.(board, newestMs);
  if (pack.value.batch !== undefined) requireTime(inside, board, newestMs);
  try {
    const outcome = await run(inside, () => writePack(inside.parts, arrival, pack.value));
    return counted(inside, arrival, outcome);
  } catch (error) {
    if (isStoreFailure(error)) throw error;
    return refusePack(inside, arrival, `pack could not be stored: ${String(error)}`);
  }
}

/** What is refused is never sent again: a clock that may be wrong itself is no reason to refuse. */
function requireTime({ parts, onceAMinute }: Inside, board: string, newestMs = 0): void {
  const aheadMs = newestMs - parts.clock.nowMs();
  if (aheadMs <= latestAheadMs || (parts.isClockBelieved?.() ?? true)) return;
  onceAMinute("clock", (unwritten) => {
    parts.log.warn("held until the clock is set from the network", { board, aheadMs, unwritten });
  });
  const got = `a pack of ${board} ${Math.round(aheadMs / 60_000)} min ahead of one that isn't`;
  throw new AppError("clock-unset", `storing requires a clock set from the network, got ${got}`);
}

/** Settles the pack's number where it can be read, so that it isn't sent again for ever. */
function refusePack(inside: Inside, arrival: Arrival, problem: string): Promise<Accepted> {
  const json = parseJson(arrival.text);
  const numbering = json.ok ? salvageNumbering(json.value) : undefined;
  return refuseWhole(inside, arrival, { problem, numbering });
}

/** A board's numbers stand in front. Nothing beyond the head is read: it would take ten times its size. */
function refuseTooLong(inside: Inside, payload: Payload): Promise<Accepted> {
  const problem = `payload requires at most ${mostPackBytes} bytes, got ${payload.payload.length}`;
  const arrival = arrivalOf(inside, headOf(payload, 16_384));
  const wholeRecords = `${arrival.text.slice(0, arrival.text.lastIndexOf("}") + 1)}]`;
  const json = parseJson(wholeRecords);
  const numbering = json.ok ? salvageNumbering(json.value) : undefined;
  return refuseWhole(inside, arrival, { problem, numbering });
}

function headOf(payload: Payload, bytes: number): Payload {
  return { ...payload, payload: payload.payload.slice(0, bytes) };
}

async function refuseWhole(
  inside: Inside,
  arrival: Arrival,
  refusal: { problem: string; numbering: Numbering | undefined },
): Promise<Accepted> {
  const outcome = await run(inside, () => writeRefused(inside.parts, arrival, refusal));
  return counted(inside, arrival, outcome);
}

async function acceptPresence(inside: Inside, payload: Payload): Promise<Accepted> {
  const arrival = arrivalOf(inside, headOf(payload, 1000));
  const { board, text, atMs } = arrival;
  const json = parseJson(text);
  const presence = presenceSchema.safeParse(json.ok ? json.value : undefined);
  if (!presence.success) {
    const problem = `presence requires {"v":1,"online":true}, got ${text.slice(0, 80)}`;
    return refuseWhole(inside, arrival, { problem, numbering: undefined });
  }
  await run(inside, () => {
    inside.parts.boards.setPresence(board, presence.data, atMs);
    return emptyOutcome(board);
  });
  inside.parts.onPresence(board);
  return { stored: 0, duplicates: 0, refusals: [], problem: undefined };
}

function arrivalOf({ parts }: Inside, { board, payload, source }: Payload): Arrival {
  const text = typeof payload === "string" ? payload : Buffer.from(payload).toString("utf8");
  return { board, source, text, atMs: parts.clock.nowMs() };
}

async function run(inside: Inside, write: () => Outcome): Promise<Outcome> {
  try {
    return await inside.commits.run(write);
  } catch (error) {
    if (isStoreFailure(error)) tellStoreFailure(inside, error);
    throw error;
  }
}

function tellStoreFailure({ counts, onceAMinute, parts }: Inside, error: unknown): void {
  counts.storeFailures += 1;
  onceAMinute("store", (unwritten) => {
    const problem = error instanceof Error ? error.message : String(error);
    parts.log.error("store failed, nothing is acknowledged", { problem, unwritten });
  });
}

function counted(inside: Inside, { board, source }: Arrival, outcome: Outcome): Accepted {
  const { counts, onceAMinute, parts } = inside;
  const { stored, duplicates, refusals, problem } = outcome;
  counts.packs += 1;
  counts.readings += stored;
  counts.duplicates += duplicates;
  counts.refusedPacks += problem === undefined ? 0 : 1;
  counts.refusedRecords += refusals.length;
  const first = refusals[0];
  const reason = problem ?? (first && `${first.record}: ${first.reason}`);
  if (reason !== undefined) {
    onceAMinute(`refused ${board}`, (unwritten) => {
      parts.log.warn("reading refused", { board, source, reason, unwritten });
    });
  }
  return { stored, duplicates, refusals, problem };
}
