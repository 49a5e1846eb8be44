// When the server asks for care: no backup for too long, clocks that differ, a certificate that ends.

import { clockOffWords } from "../../../shared/people/care.ts";
import { formatList } from "../../../shared/people/format.ts";
import { wayWords } from "../../../shared/people/notice-words.ts";
import { msPerDay, msPerMinute } from "../../../shared/units.ts";
import type { Judgement, Verdict } from "./episode.ts";

export type CareSituation = {
  /** Null where none are made. */
  backup: {
    /** When the newest was made; null when there is none. */
    lastAtMs: number | null;
    /** Since when one could have been made. */
    sinceMs: number;
    /** Why the last try failed. */
    problem: string | null;
  } | null;
  /** When the certificate of page and broker ends; null without one. */
  certificateUntilMs: number | null;
  /** By board; null where its packs don't tell. */
  clocks: { board: string; aheadMs: number | null }[];
  /** Boards that send so much that they are made to wait. */
  tooFast?: readonly string[];
  /** Whom notices didn't reach in the end, and by which way. */
  unreached?: { name: string; channel: string }[];
};

const backupSubject = "yard/backup";
const clockSubject = "yard/clock";
const certificateSubject = "yard/certificate";
const noticesSubject = "yard/notices";
const floodSubject = "yard/flood";
export const careSubjects = [
  backupSubject,
  clockSubject,
  certificateSubject,
  noticesSubject,
  floodSubject,
];

const mostNamed = 3;

const missedRaiseMs = 2 * msPerDay;
const missedHoldMs = 1.5 * msPerDay;
const aheadRaiseMs = 2 * msPerMinute;
const aheadHoldMs = msPerMinute;
const behindRaiseMs = 15 * msPerMinute;
const behindHoldMs = 10 * msPerMinute;
const alikeMs = 2 * msPerMinute;
/** Phones are slow to be told to trust another one. */
const endsRaiseMs = 21 * msPerDay;
const endsHoldMs = 22 * msPerDay;

export function judgeCare(care: CareSituation, nowMs: number): Judgement[] {
  return [
    ...judgeBackup(care, nowMs),
    ...judgeClocks(care),
    ...judgeCertificate(care, nowMs),
    ...judgeNotices(care),
    ...judgeFlood(care),
  ];
}

/** When nobody looked: alarms that are open stay. */
export const careUnseen: Judgement[] = careSubjects.map((subject) => ({
  standing: "unknown",
  kind: "care",
  subject,
}));

function judgeBackup({ backup }: CareSituation, nowMs: number): Judgement[] {
  if (backup === null) return [];
  const { lastAtMs, sinceMs, problem } = backup;
  // One that never came about and has failed is not waited for.
  const fromMs = lastAtMs ?? (problem === null ? sinceMs : 0);
  const missedMs = nowMs - fromMs;
  if (missedMs < missedHoldMs) return [];
  const days = Math.max(2, Math.floor(missedMs / msPerDay));
  const last = lastAtMs === null ? "yet" : `for ${days} days`;
  const why = problem === null ? "" : `: ${problem}`;
  const text = `No backup was made ${last}${why}`;
  return [care(backupSubject, missedMs >= missedRaiseMs, { severity: "soon", text })];
}

type Clocks = { board: string; aheadMs: number }[];

function judgeClocks({ clocks }: CareSituation): Judgement[] {
  const heard = clocks.flatMap(({ board, aheadMs }) =>
    aheadMs === null ? [] : [{ board, aheadMs }],
  );
  const off = heard.filter(({ aheadMs }) => isOff(aheadMs, aheadHoldMs, behindHoldMs));
  if (off.length === 0) return [];
  const isBad = off.some(({ aheadMs }) => isOff(aheadMs, aheadRaiseMs, behindRaiseMs));
  const alike = mostAlike(off);
  const text =
    alike.length > 1 && alike.length > heard.length / 2 ? serverWords(alike) : boardsWords(off);
  return [care(clockSubject, isBad, { severity: "soon", text })];
}

/** Boards agree with one another by chance seldom: where most do, it is the server's clock that is wrong. */
function mostAlike(off: Clocks): Clocks {
  return off
    .map(({ aheadMs }) =>
      off.filter((one) => one.aheadMs >= aheadMs && one.aheadMs - aheadMs <= alikeMs),
    )
    .reduce((best, alike) => (alike.length > best.length ? alike : best));
}

function serverWords(alike: Clocks): string {
  const sorted = alike.map(({ aheadMs }) => aheadMs).sort((one, other) => one - other);
  const middleMs = sorted[Math.floor(sorted.length / 2)] ?? 0;
  return `The server's clock is ${differenceWords(-middleMs)} its boards': set it right`;
}

function boardsWords(off: Clocks): string {
  const [first] = off;
  if (first !== undefined && off.length === 1) {
    const words = differenceWords(first.aheadMs);
    return `The clock of board ${first.board} is ${words} the server's: set the wrong one right`;
  }
  const named = off
    .slice(0, mostNamed)
    .map(({ board, aheadMs }) => `${board} (${clockOffWords(aheadMs)})`);
  const more = off.length > mostNamed ? [`${off.length - mostNamed} more`] : [];
  const boards = formatList([...named, ...more]);
  return `The clocks of boards ${boards} differ from the server's: set the wrong ones right`;
}

function judgeCertificate({ certificateUntilMs }: CareSituation, nowMs: number): Judgement[] {
  if (certificateUntilMs === null) return [];
  const leftMs = certificateUntilMs - nowMs;
  if (leftMs > endsHoldMs) return [];
  const day = new Date(certificateUntilMs).toISOString().slice(0, 10);
  const when = leftMs > 0 ? `ends on ${day}` : `ended on ${day}`;
  const text = `The certificate ${when}: make another and start the server anew`;
  return [care(certificateSubject, leftMs <= endsRaiseMs, { severity: "soon", text })];
}

function judgeNotices({ unreached = [] }: CareSituation): Judgement[] {
  if (unreached.length === 0) return [];
  const ways = unreached.map(({ name, channel }) => `${name} by ${wayWords(channel)}`);
  const text = `Notices do not reach ${ways.join(", ")}: see the set-up page`;
  return [care(noticesSubject, true, { severity: "soon", text })];
}

function judgeFlood({ tooFast = [] }: CareSituation): Judgement[] {
  if (tooFast.length === 0) return [];
  const some = tooFast.slice(0, mostNamed).join(", ");
  const more = tooFast.length > mostNamed ? ` and ${tooFast.length - mostNamed} more` : "";
  const text = `Far too much comes from ${some}${more}, so it is held back: look at what that board runs`;
  return [care(floodSubject, true, { severity: "soon", text })];
}

function isOff(aheadMs: number, aheadLimitMs: number, behindLimitMs: number): boolean {
  return aheadMs > aheadLimitMs || aheadMs < -behindLimitMs;
}

/** "about 5 min ahead of". */
function differenceWords(aheadMs: number): string {
  return `${clockOffWords(aheadMs)}${aheadMs > 0 ? " of" : ""}`;
}

function care(subject: string, isBad: boolean, verdict: Verdict): Judgement {
  const standing = isBad ? "raise" : "hold";
  return { standing, condition: { kind: "care", subject, ...verdict } };
}
