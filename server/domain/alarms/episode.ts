// Alarm episodes: one from the moment a condition is raised until it has stayed away long enough.
import { msPerMinute } from "../../../shared/units.ts";
import type { AlarmKind, Brim, Severity } from "../../../shared/wire/api.ts";

/** What a rule says of a subject now. */
export type Verdict = { severity: Severity; text: string; brim?: Brim };

export type Condition = Verdict & { kind: AlarmKind; subject: string };

export type Episode = Condition & {
  raisedAtMs: number;
  /** Last time its severity or text changed. */
  changedAtMs: number;
  /** Last time the situation was looked at with this episode open. */
  confirmedAtMs: number;
  /** Since when the condition no longer holds, null while it does. */
  calmSinceMs: number | null;
};

/** A condition that holds, one that may not raise but still holds what is open, or one unknown now. */
export type Judgement =
  | { standing: "raise" | "hold"; condition: Condition }
  | { standing: "unknown"; kind: AlarmKind; subject: string };

export type EpisodeStep = {
  open: Episode[];
  raised: Episode[];
  changed: Episode[];
  cleared: Episode[];
};

/** How long a condition must be away before its episode ends; 0 where the hold rule suffices. */
const calmMs: Partial<Record<AlarmKind, number>> = {
  silent: 10 * msPerMinute,
  doubtful: 10 * msPerMinute,
  supply: 30 * msPerMinute,
};

/**
 * The episodes after one more look at everything. Whatever is open and not judged any more (a
 * bucket parked or deleted) ends at once; what is unknown now stays as it was.
 */
export function nextEpisodes(
  open: readonly Episode[],
  judgements: readonly Judgement[],
  nowMs: number,
): EpisodeStep {
  const byKey = new Map(judgements.map((judgement) => [keyOf(judgement), judgement]));
  const known = new Set(open.map((episode) => keyOf(episode)));
  const step: EpisodeStep = { open: [], raised: [], changed: [], cleared: [] };
  for (const episode of open) {
    const next = nextEpisode(episode, byKey.get(keyOf(episode)), nowMs);
    if (next === null) {
      step.cleared.push(episode);
      continue;
    }
    step.open.push(next);
    if (next.changedAtMs !== episode.changedAtMs) {
      step.changed.push(next);
    }
  }
  for (const judgement of judgements) {
    if (judgement.standing === "raise" && !known.has(keyOf(judgement))) {
      step.raised.push(raisedEpisode(judgement.condition, nowMs));
    }
  }
  step.open.push(...step.raised);
  return step;
}

function raisedEpisode(condition: Condition, nowMs: number): Episode {
  const times = { raisedAtMs: nowMs, changedAtMs: nowMs, confirmedAtMs: nowMs, calmSinceMs: null };
  return { ...condition, ...times };
}

function nextEpisode(
  episode: Episode,
  judgement: Judgement | undefined,
  nowMs: number,
): Episode | null {
  if (judgement?.standing === "unknown") {
    return { ...episode, confirmedAtMs: nowMs };
  }
  if (judgement === undefined) {
    const calmSinceMs = episode.calmSinceMs ?? nowMs;
    const over = nowMs - calmSinceMs >= (calmMs[episode.kind] ?? 0);
    return over ? null : { ...episode, confirmedAtMs: nowMs, calmSinceMs };
  }
  const { condition } = judgement;
  const changed = condition.text !== episode.text || condition.severity !== episode.severity;
  return {
    ...episode,
    ...condition,
    changedAtMs: changed ? nowMs : episode.changedAtMs,
    confirmedAtMs: nowMs,
    calmSinceMs: null,
  };
}

function keyOf(one: Judgement | Episode): string {
  const { kind, subject } = "condition" in one ? one.condition : one;
  return `${kind} ${subject}`;
}
