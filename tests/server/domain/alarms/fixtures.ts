// Situations and episodes that the alarm tests start from.
import type { BucketSituation } from "../../../../server/domain/alarms/bucket-rules.ts";
import { type Situations, stepEpisodes } from "../../../../server/domain/alarms/conditions.ts";
import type { Episode } from "../../../../server/domain/alarms/episode.ts";
import type { BrimDecision } from "../../../../server/domain/brim/decide.ts";
import { estimateOf, hourMs, nowMs, setup } from "../brim/fixtures.ts";

export const timeZone = "America/Toronto";

export function decisionOf(changes: Partial<BrimDecision> = {}): BrimDecision {
  return {
    brim: { probability: 0, t10Ms: nowMs + 3 * hourMs, t50Ms: nowMs + 4 * hourMs, t90Ms: null },
    beforeAfterProbability: 0,
    warn: false,
    urgent: false,
    overnight: false,
    ...changes,
  };
}

export function keepingOf(boilInH: number | null, iceFraction = 0) {
  const boilByMs = boilInH === null ? null : nowMs + boilInH * hourMs;
  return { sapTempC: 5, iceFraction, spentFraction: 0.3, boilByMs, risk: "fresh" as const };
}

export function bucketOf(changes: Partial<BucketSituation> = {}): BucketSituation {
  return {
    subject: "gate",
    label: "Gate",
    state: "resting",
    estimate: estimateOf(),
    setup,
    decision: decisionOf(),
    warnProbability: 0.15,
    keeping: keepingOf(null),
    lastReadingMs: nowMs,
    fault: null,
    boardSilent: false,
    ...changes,
  };
}

export function yardOf(changes: Partial<Situations> = {}): Situations {
  return { buckets: [], boards: [], store: null, timeZone, ...changes };
}

/** Goes through one bucket's situations a minute apart and names what opens and ends at each. */
export function watch(buckets: BucketSituation[], everyMs = 60_000) {
  let open: Episode[] = [];
  return buckets.map((bucket, index) => {
    const step = stepEpisodes(open, yardOf({ buckets: [bucket] }), nowMs + index * everyMs);
    open = step.open;
    const named = (sign: string) => (episode: Episode) => `${sign}${episode.kind}`;
    return [...step.raised.map(named("+")), ...step.cleared.map(named("-"))].join(" ");
  });
}
