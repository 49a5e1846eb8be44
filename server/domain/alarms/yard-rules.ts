// When a board or the store raises an alarm and, less strictly, when it keeps one that is open.
import { formatTimeOfDay } from "../../../shared/people/format.ts";
import type { Judgement, Verdict } from "./episode.ts";

export type BoardSituation = {
  board: string;
  /** No word from it for longer than it should be quiet, or its last will says so. */
  silent: boolean;
  lastHeardMs: number | null;
  supplyV: number | null;
  /** The highest supply ever heard tells what kind it is; null takes the present one. */
  highestSupplyV: number | null;
};

export type StoreSituation = {
  /** Room left where the data lies; null when it can't be told. */
  freeBytes: number | null;
  /** What the store or its backup can't do now, in plain words; null when all is well. */
  problem: string | null;
};

type Reader = { nowMs: number; timeZone: string };

/** Lead battery, 5 V supply, lithium cell: low at, and well again above (common practice, no source). */
const supplies = [
  { fromV: 9, lowV: 11.8, wellV: 12.2 },
  { fromV: 4.4, lowV: 4.7, wellV: 4.8 },
  { fromV: 0, lowV: 3.4, wellV: 3.6 },
];
const lowRoomBytes = 500e6;
const wellRoomBytes = 700e6;
const bytesPerMb = 1e6;

export function judgeBoard(board: BoardSituation, reader: Reader): Judgement[] {
  return [...judgeSilence(board, reader), ...judgeSupply(board)];
}

/** A board's alarms carry a subject that no bucket's id can be. */
export function boardSubject(board: string): string {
  return `board/${board}`;
}

/** The subject of kind care, and no bucket's id either. */
export const storeSubject = "yard/store";

export function judgeStore(store: StoreSituation): Judgement[] {
  const care = (standing: "raise" | "hold", verdict: Verdict): Judgement => ({
    standing,
    condition: { kind: "care", subject: storeSubject, ...verdict },
  });
  if (store.problem !== null) {
    return [care("raise", { severity: "now", text: `The store needs care: ${store.problem}` })];
  }
  if (store.freeBytes === null) {
    return [{ standing: "unknown", kind: "care", subject: storeSubject }];
  }
  if (store.freeBytes >= wellRoomBytes) {
    return [];
  }
  // Told in steps of 50 MB, or every look would be a change.
  const roomMb = Math.floor(store.freeBytes / bytesPerMb / 50) * 50;
  const text = `The disk is nearly full: about ${roomMb} MB left`;
  return [care(store.freeBytes < lowRoomBytes ? "raise" : "hold", { severity: "soon", text })];
}

function judgeSilence(board: BoardSituation, reader: Reader): Judgement[] {
  if (!board.silent) {
    return [];
  }
  const { lastHeardMs } = board;
  const subject = boardSubject(board.board);
  const since = lastHeardMs === null ? "" : ` since ${formatTimeOfDay(lastHeardMs, reader)}`;
  const text = `Nothing heard from board ${board.board}${since}: look at its power and network`;
  return [{ standing: "raise", condition: { kind: "silent", subject, severity: "soon", text } }];
}

function judgeSupply({ board, supplyV, highestSupplyV, silent }: BoardSituation): Judgement[] {
  const subject = boardSubject(board);
  if (supplyV === null) {
    return [];
  }
  if (silent) {
    return [{ standing: "unknown", kind: "supply", subject }];
  }
  const kindV = Math.max(supplyV, highestSupplyV ?? supplyV);
  const supply = supplies.find(({ fromV }) => kindV >= fromV);
  if (supply === undefined || supplyV >= supply.wellV) {
    return [];
  }
  const text = `Board ${board} runs on ${supplyV.toFixed(1)} V: charge or replace its supply`;
  const standing = supplyV < supply.lowV ? "raise" : "hold";
  return [{ standing, condition: { kind: "supply", subject, severity: "advice", text } }];
}
