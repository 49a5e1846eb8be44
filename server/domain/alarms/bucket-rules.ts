// When a bucket raises an alarm and, less strictly, when it keeps one that is open.
import { formatLastingDeadline, formatTimeOfDay } from "../../../shared/people/format.ts";
import { leastToBoilG, leastToHoldG } from "../../../shared/sap/least.ts";
import { msPerHour } from "../../../shared/units.ts";
import type { AlarmKind, BucketState, Keeping } from "../../../shared/wire/api.ts";
import type { BrimDecision } from "../brim/decide.ts";
import type { BucketSetup, FlowEstimate } from "../bucket.ts";
import type { Judgement, Verdict } from "./episode.ts";

export type BucketSituation = {
  /** The bucket's id. */
  subject: string;
  label: string;
  state: BucketState;
  /** Null before the first reading. */
  estimate: FlowEstimate | null;
  setup: BucketSetup;
  decision: BrimDecision | null;
  /** The yard's own threshold that the decision was made with. */
  warnProbability: number;
  keeping: Keeping | null;
  lastReadingMs: number | null;
  /** What the board says is wrong with the cell, null when nothing. */
  fault: string | null;
  /** Its whole board is silent: that is told once, for the board. */
  boardSilent: boolean;
};

type Look = BucketSituation & { nowMs: number; timeZone: string };
type Standing = { standing: "raise" | "hold"; verdict: Verdict } | "unknown" | null;
type Rule = { kind: AlarmKind; judge: (look: Look) => Standing };

const holdShareOfWarn = 0.6;
const brimfulHoldShare = 0.95;
const boilRaiseMs = 24 * msPerHour;
const boilHoldMs = 30 * msPerHour;
const boilSoonMs = 8 * msPerHour;
const sourHoldMs = 2 * msPerHour;
const iceRaise = { ice: 0.6, fill: 0.6 };
const iceHold = { ice: 0.35, fill: 0.5 };
/** Water grows 9 % on freezing (from memory): from here on a full freeze reaches the rim. */
const iceReachesRim = 0.917;

const rules: readonly Rule[] = [
  { kind: "brim", judge: judgeBrim },
  { kind: "brimful", judge: judgeBrimful },
  { kind: "boil", judge: judgeBoil },
  { kind: "sour", judge: judgeSour },
  { kind: "frozen", judge: judgeFrozen },
  { kind: "silent", judge: judgeSilent },
  { kind: "doubtful", judge: judgeDoubtful },
];

/** All that a bucket's situation raises, holds or cannot tell now; a parked bucket says nothing. */
export function judgeBucket(
  bucket: BucketSituation,
  { nowMs, timeZone }: { nowMs: number; timeZone: string },
): Judgement[] {
  if (bucket.state === "parked") {
    return [];
  }
  const { subject } = bucket;
  return rules.flatMap(({ kind, judge }): Judgement[] => {
    const found = judge({ ...bucket, nowMs, timeZone });
    if (found === null) {
      return [];
    }
    if (found === "unknown") {
      return [{ standing: "unknown", kind, subject }];
    }
    return [{ standing: found.standing, condition: { kind, subject, ...found.verdict } }];
  });
}

const unseen: ReadonlySet<BucketState> = new Set(["unheard", "silent", "doubtful", "away"]);

/** The sap in it can't be judged now: what was known last stands. */
function isUnseen({ state, estimate }: Look): boolean {
  return unseen.has(state) || estimate === null;
}

function isAtRim({ state, estimate, setup }: Look): boolean {
  return state === "brimful" || (estimate !== null && estimate.netG >= setup.capacityG);
}

function judgeBrim(look: Look): Standing {
  const { decision } = look;
  if (isUnseen(look)) {
    return "unknown";
  }
  if (decision === null || isAtRim(look)) {
    return null;
  }
  const held = decision.beforeAfterProbability >= holdShareOfWarn * look.warnProbability;
  if (!(decision.warn || held)) {
    return null;
  }
  const severity = decision.urgent ? "now" : "soon";
  const verdict = { severity, text: brimText(look, decision), brim: decision.brim } as const;
  return { standing: decision.warn ? "raise" : "hold", verdict };
}

function brimText({ label, nowMs, timeZone }: Look, decision: BrimDecision): string {
  const { t10Ms, t50Ms } = decision.brim;
  const at = t50Ms ?? t10Ms;
  if (at !== null && at <= nowMs) {
    return `${label} is about to brim over: gather it now`;
  }
  const when = at === null ? "soon" : `around ${formatLastingDeadline(at, { nowMs, timeZone })}`;
  const how = t50Ms === null ? "may brim over" : "will likely brim over";
  const night = decision.overnight && !decision.urgent ? ": empty it before the night" : "";
  return `${label} ${how} ${when}${night}`;
}

function judgeBrimful(look: Look): Standing {
  if (isUnseen(look)) {
    return "unknown";
  }
  const verdict: Verdict = { severity: "now", text: `${look.label} is at the rim: gather it now` };
  if (isAtRim(look)) {
    return { standing: "raise", verdict };
  }
  const netG = look.estimate?.netG ?? 0;
  return netG > brimfulHoldShare * look.setup.capacityG ? { standing: "hold", verdict } : null;
}

function judgeBoil(look: Look): Standing {
  const aheadMs = boilAheadMs(look);
  if (aheadMs === "unknown" || aheadMs === null) {
    return aheadMs;
  }
  if (aheadMs <= 0 || aheadMs > boilHoldMs) {
    return null;
  }
  const by = formatLastingDeadline(look.nowMs + aheadMs, look);
  const verdict: Verdict = {
    severity: aheadMs <= boilSoonMs ? "soon" : "advice",
    text: `The sap in ${look.label} should be boiled by ${by}`,
  };
  const raised = aheadMs <= boilRaiseMs && (look.estimate?.netG ?? 0) >= leastToBoilG;
  return { standing: raised ? "raise" : "hold", verdict };
}

function judgeSour(look: Look): Standing {
  const aheadMs = boilAheadMs(look);
  if (aheadMs === "unknown" || aheadMs === null) {
    return aheadMs;
  }
  if (aheadMs > sourHoldMs) {
    return null;
  }
  const verdict: Verdict = {
    severity: "soon",
    text: `The sap in ${look.label} has stood too warm for too long: smell it, boil it now or throw it out`,
  };
  const raised = aheadMs <= 0 && (look.estimate?.netG ?? 0) >= leastToBoilG;
  return { standing: raised ? "raise" : "hold", verdict };
}

/** Time left to boil-by; null with nothing in it or none to tell of. */
function boilAheadMs(look: Look): number | null | "unknown" {
  const { keeping, estimate, nowMs } = look;
  if (isUnseen(look) || keeping === null) {
    return "unknown";
  }
  if (keeping.boilByMs === null || (estimate?.netG ?? 0) < leastToHoldG) {
    return null;
  }
  return keeping.boilByMs - nowMs;
}

function judgeFrozen(look: Look): Standing {
  const { keeping, estimate, setup, label } = look;
  if (isUnseen(look) || keeping === null || estimate === null) {
    return "unknown";
  }
  const fill = estimate.netG / setup.capacityG;
  const above = (limit: { ice: number; fill: number }) =>
    keeping.iceFraction > limit.ice && fill > limit.fill;
  if (!above(iceHold)) {
    return null;
  }
  const verdict: Verdict = {
    severity: fill > iceReachesRim ? "soon" : "advice",
    text: `${label} is freezing through: ice may split the bucket or lift it off`,
  };
  return { standing: above(iceRaise) ? "raise" : "hold", verdict };
}

function judgeSilent(look: Look): Standing {
  if (look.boardSilent) {
    return "unknown";
  }
  if (look.state !== "silent" || look.lastReadingMs === null) {
    return null;
  }
  const since = formatTimeOfDay(look.lastReadingMs, look);
  const text = `No reading from ${look.label} since ${since}: look at its cell and wire`;
  return { standing: "raise", verdict: { severity: "soon", text } };
}

function judgeDoubtful(look: Look): Standing {
  if (look.state === "silent") {
    return "unknown";
  }
  const why = look.fault ?? look.estimate?.doubt;
  if (look.state !== "doubtful" || why === undefined) {
    return null;
  }
  const text = `The cell of ${look.label} can't be trusted: ${why}`;
  return { standing: "raise", verdict: { severity: "advice", text } };
}
