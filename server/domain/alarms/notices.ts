// Whether an open episode is told to people now, held back, or has been told enough.
import { localParts } from "../../../shared/local-time.ts";
import { msPerHour, msPerMinute } from "../../../shared/units.ts";
import type { Brim, Severity, YardSettings } from "../../../shared/wire/api.ts";
import type { Episode } from "./episode.ts";

/** The last notice that went out for an episode. */
export type SentNotice = { atMs: number; severity: Severity; brim?: Brim };

export type NoticeQuestion = {
  episode: Episode;
  lastNotice: SentNotice | null;
  nowMs: number;
  settings: Pick<YardSettings, "quietFrom" | "quietUntil" | "wakeMe">;
  timeZone: string;
  /** Notices are held until then while a person is on the round; null when not paused. */
  pausedUntilMs: number | null;
};

const staleMs = 30 * msPerMinute;
/** Twice next to nothing is still next to nothing. */
const leastDoubled = 0.1;
const earlierMs = 2 * msPerHour;
export const severityRank: Record<Severity, number> = { advice: 0, soon: 1, now: 2 };

/**
 * "send" one notice per episode, and again when it became graver, the probability doubled or the
 * early time came two hours forward. "hold" in quiet hours and pauses: ask again later. "none" when
 * it was told, ended, or is known only from a backlog's past.
 */
export function noticeDue(question: NoticeQuestion): "send" | "hold" | "none" {
  const { episode, lastNotice, nowMs } = question;
  const stale = nowMs - episode.confirmedAtMs > staleMs;
  if (stale || episode.calmSinceMs !== null || !isNews(episode, lastNotice)) {
    return "none";
  }
  const paused = question.pausedUntilMs !== null && nowMs < question.pausedUntilMs;
  return paused || isKeptQuiet(question) ? "hold" : "send";
}

/** What to keep of a notice that went out now. */
export function sentNotice(episode: Episode, atMs: number): SentNotice {
  const { severity, brim } = episode;
  return brim === undefined ? { atMs, severity } : { atMs, severity, brim };
}

/** True within the local quiet hours, which may span midnight; equal times mean none. */
export function isQuiet(
  atMs: number,
  settings: { quietFrom: string; quietUntil: string },
  timeZone: string,
): boolean {
  const { minuteOfDay } = localParts(atMs, timeZone);
  const from = minuteFrom(settings.quietFrom);
  const until = minuteFrom(settings.quietUntil);
  return from <= until
    ? minuteOfDay >= from && minuteOfDay < until
    : minuteOfDay >= from || minuteOfDay < until;
}

function isKeptQuiet({ episode, nowMs, settings, timeZone }: NoticeQuestion): boolean {
  const wakes = settings.wakeMe && episode.severity === "now";
  return !wakes && isQuiet(nowMs, settings, timeZone);
}

function isNews(episode: Episode, last: SentNotice | null): boolean {
  if (last === null) {
    return true;
  }
  if (severityRank[episode.severity] > severityRank[last.severity]) {
    return true;
  }
  const now = episode.brim;
  const then = last.brim;
  if (now === undefined || then === undefined) {
    return false;
  }
  const doubled = now.probability >= Math.max(leastDoubled, 2 * then.probability);
  return doubled || isEarlier(now, then);
}

function isEarlier(now: Brim, then: Brim): boolean {
  return now.t10Ms !== null && then.t10Ms !== null && now.t10Ms <= then.t10Ms - earlierMs;
}

function minuteFrom(time: string): number {
  const [hour = "0", minute = "0"] = time.split(":");
  return Number(hour) * 60 + Number(minute);
}
