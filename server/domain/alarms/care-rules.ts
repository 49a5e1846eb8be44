// When the server asks for care: no backup for too long, clocks that differ, a certificate that ends.

import { clockSpan } from "../../../shared/people/care.ts";
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

function judgeClocks({ clocks }: CareSituation): Judgement[] {
  const off = clocks.flatMap(({ board, aheadMs }) =>
    aheadMs !== null && isOff(aheadMs, aheadHoldMs, behindHoldMs) ? [{ board, aheadMs }] : [],
  );
  const [first] = off;
  if (first === undefined) return [];
  const isBad = off.some(({ aheadMs }) => isOff(aheadMs, aheadRaiseMs, behindRaiseMs));
  // One that all boards are ahead of is itself behind: boards agree by chance seldom.
  const isServer = off.length > 1 && off.every(({ aheadMs }) => aheadMs > 0);
  const words = differenceWords(first.aheadMs);
  const text = isServer
    ? `The server's clock is ${differenceWords(-first.aheadMs)} its boards': set it right`
    : `The clock of board ${first.board} is ${words} the server's: set the wrong one right`;
  return [care(clockSubject, isBad, { severity: "soon", text })];
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
  return `${clockSpan(aheadMs)} ${aheadMs > 0 ? "ahead of" : "behind"}`;
}

function care(subject: string, isBad: boolean, verdict: Verdict): Judgement {
  const standing = isBad ? "raise" : "hold";
  return { standing, condition: { kind: "care", subject, ...verdict } };
}
