// Notices: one an episode, again when it matters, held in quiet hours and pauses, never stale.
import { describe, expect, it } from "vitest";
import type { Episode } from "../../../../server/domain/alarms/episode.ts";
import {
  isQuiet,
  type NoticeQuestion,
  noticeDue,
  sentNotice,
} from "../../../../server/domain/alarms/notices.ts";
import { timeZone } from "./fixtures.ts";

const at = (local: string) => Date.parse(`2026-03-${local}:00-04:00`);
const noonMs = at("14T12:00");
const minuteMs = 60_000;
const hourMs = 60 * minuteMs;
const settings = { quietFrom: "21:00", quietUntil: "07:00", wakeMe: false };
const brim = { probability: 0.2, t10Ms: noonMs + 6 * hourMs, t50Ms: null, t90Ms: null };

function episodeOf(changes: Partial<Episode> = {}): Episode {
  return {
    kind: "brim",
    subject: "gate",
    severity: "soon",
    text: "Gate will likely brim over around 18:00",
    brim,
    raisedAtMs: noonMs,
    changedAtMs: noonMs,
    confirmedAtMs: noonMs,
    calmSinceMs: null,
    ...changes,
  };
}

function ask(changes: Partial<NoticeQuestion> = {}) {
  const nowMs = changes.nowMs ?? noonMs;
  const episode = changes.episode ?? episodeOf({ confirmedAtMs: nowMs });
  const rest = { lastNotice: null, settings, timeZone, pausedUntilMs: null };
  return noticeDue({ ...rest, ...changes, nowMs, episode });
}

describe("notice", () => {
  it("goes out once for an episode", () => {
    const episode = episodeOf();
    expect(ask({ episode })).toBe("send");
    expect(ask({ episode, lastNotice: sentNotice(episode, noonMs) })).toBe("none");
  });

  it("goes out again when the probability doubles, but not of next to nothing", () => {
    const lastNotice = sentNotice(episodeOf(), noonMs);
    const now = (probability: number, last = lastNotice) =>
      ask({ episode: episodeOf({ brim: { ...brim, probability } }), lastNotice: last });
    expect(now(0.39)).toBe("none");
    expect(now(0.4)).toBe("send");
    const tiny = { ...lastNotice, brim: { ...brim, probability: 0.01 } };
    expect(now(0.09, tiny)).toBe("none");
    expect(now(0.1, tiny)).toBe("send");
  });

  it("goes out again when the early time comes two hours forward", () => {
    const lastNotice = sentNotice(episodeOf(), noonMs);
    const early = (t10Ms: number | null) =>
      ask({ episode: episodeOf({ brim: { ...brim, t10Ms } }), lastNotice });
    expect(early(noonMs + 4 * hourMs + 1)).toBe("none");
    expect(early(noonMs + 4 * hourMs)).toBe("send");
    expect(early(noonMs + 9 * hourMs)).toBe("none");
    expect(early(null)).toBe("none");
  });

  it("goes out again when it is graver, not when it is milder", () => {
    const lastNotice = { atMs: noonMs, severity: "soon" as const };
    expect(ask({ episode: episodeOf({ severity: "now" }), lastNotice })).toBe("send");
    expect(ask({ episode: episodeOf({ severity: "advice" }), lastNotice })).toBe("none");
    const { brim: _, ...plain } = episodeOf({ kind: "boil" });
    expect(ask({ episode: plain, lastNotice: sentNotice(plain, noonMs) })).toBe("none");
  });

  it("is held in quiet hours and goes out at their end if it still stands", () => {
    expect(ask({ nowMs: at("14T20:59") })).toBe("send");
    expect(ask({ nowMs: at("14T21:00") })).toBe("hold");
    expect(ask({ nowMs: at("15T06:59") })).toBe("hold");
    const raised = { raisedAtMs: at("14T23:00"), changedAtMs: at("14T23:00") };
    const episode = episodeOf({ ...raised, confirmedAtMs: at("15T07:00") });
    expect(ask({ nowMs: at("15T07:00"), episode })).toBe("send");
  });

  it("wakes a person who asked for it by what is for now only", () => {
    const nowMs = at("15T02:00");
    const wakeMe = { ...settings, wakeMe: true };
    const grave = episodeOf({ severity: "now", confirmedAtMs: nowMs });
    expect(ask({ nowMs, episode: grave, settings: wakeMe })).toBe("send");
    expect(ask({ nowMs, episode: grave })).toBe("hold");
    expect(ask({ nowMs, settings: wakeMe })).toBe("hold");
  });

  it("is held while a person is on the round, woken or not", () => {
    const pausedUntilMs = noonMs + 30 * minuteMs;
    const wakeMe = { ...settings, wakeMe: true };
    const grave = episodeOf({ severity: "now" });
    expect(ask({ pausedUntilMs, episode: grave, settings: wakeMe })).toBe("hold");
    expect(ask({ pausedUntilMs, nowMs: pausedUntilMs })).toBe("send");
  });

  it("never goes out for what only a backlog's past knows", () => {
    const nowMs = noonMs + 3 * hourMs;
    const old = (minutes: number) => episodeOf({ confirmedAtMs: nowMs - minutes * minuteMs });
    expect(ask({ nowMs, episode: old(31) })).toBe("none");
    expect(ask({ nowMs, episode: old(29) })).toBe("send");
  });

  it("does not go out for an episode that is calming down", () => {
    expect(ask({ episode: episodeOf({ calmSinceMs: noonMs }) })).toBe("none");
  });
});

describe("quiet hours", () => {
  it("may lie within a day, span midnight, or be none", () => {
    const quiet = (quietFrom: string, quietUntil: string, local: string) =>
      isQuiet(at(local), { quietFrom, quietUntil }, timeZone);
    expect(quiet("13:00", "15:00", "14T13:00")).toBe(true);
    expect(quiet("13:00", "15:00", "14T15:00")).toBe(false);
    expect(quiet("22:00", "06:00", "14T23:30")).toBe(true);
    expect(quiet("22:00", "06:00", "14T05:59")).toBe(true);
    expect(quiet("22:00", "06:00", "14T12:00")).toBe(false);
    expect(quiet("07:00", "07:00", "14T07:00")).toBe(false);
  });
});
