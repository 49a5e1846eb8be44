// How the warnings of a yard did: which were useful, which false, and which overflows came unwarned.
import { localParts } from "../../../shared/local-time.ts";
import { msPerHour } from "../../../shared/units.ts";

/** A warning that was raised, with what would have become of its bucket. */
export type Warning = {
  bucketId: string;
  raisedMs: number;
  /** When it would have run over had nobody touched it; null when not within a day. */
  overMs: number | null;
  /** The chance told then that it would run over within a day. */
  chance: number;
  /** "open" while the day after is not over, "untold" where too little was weighed. */
  known: "told" | "open" | "untold";
  /** Found in readings that came long after: nobody could be told. */
  afterwards: boolean;
};

/** A bucket came to its rim. */
export type Overflow = { bucketId: string; atMs: number };

export type WarningCounts = {
  useful: number;
  late: number;
  false: number;
  /** By the chances told, so many of the useful, late and false ones were to run over within a day. */
  expected: number;
  /** Warnings whose day is not over, or was not weighed. */
  open: number;
  untold: number;
  /** Of the useful, late and false ones, those that nobody could be told of at the time. */
  afterwards: number;
  /** Times a bucket came to its rim, and those without a useful warning before. */
  overflows: number;
  missed: number;
};

const leadMs = msPerHour;
const wakingFromH = 7;
const wakingUntilH = 21;
const within = { falseMs: 24 * msPerHour, warnedMs: 36 * msPerHour, sameMs: 6 * msPerHour };

/**
 * A warning is useful when a full hour from 7 to 21 local lay at least an hour after it and before the overflow;
 * late when not; false when nothing would have run over within 24 h. An overflow without a useful warning in the
 * 36 h before it, none of them for an earlier overflow, is missed.
 */
export function countWarnings(
  warnings: readonly Warning[],
  overflows: readonly Overflow[],
  timeZone: string,
): WarningCounts {
  const verdicts = warnings.map((warning) => verdictOn(warning, timeZone));
  const count = (verdict: Verdict) => verdicts.filter((each) => each === verdict).length;
  const apart = apartFrom(overflows);
  const missed = apart.filter((overflow) => !isWarnedOf(overflow, { warnings, apart, timeZone }));
  return {
    useful: count("useful"),
    late: count("late"),
    false: count("false"),
    expected: warnings
      .filter(({ known }) => known === "told")
      .reduce((sum, { chance }) => sum + chance, 0),
    open: count("open"),
    untold: count("untold"),
    afterwards: warnings.filter(({ known, afterwards }) => known === "told" && afterwards).length,
    overflows: apart.length,
    missed: missed.length,
  };
}

type Verdict = "useful" | "late" | "false" | "open" | "untold";

function verdictOn({ raisedMs, overMs, known }: Warning, timeZone: string): Verdict {
  if (known !== "told") return known;
  if (overMs === null || overMs > raisedMs + within.falseMs) return "false";
  return hasWakingHour(raisedMs + leadMs, overMs, timeZone) ? "useful" : "late";
}

/** A rim that is left for a moment is the same overflow. */
function apartFrom(overflows: readonly Overflow[]): Overflow[] {
  const lastMs = new Map<string, number>();
  return [...overflows]
    .sort((a, b) => a.atMs - b.atMs)
    .filter(({ bucketId, atMs }) => {
      const before = lastMs.get(bucketId);
      lastMs.set(bucketId, atMs);
      return before === undefined || atMs - before > within.sameMs;
    });
}

function isWarnedOf(
  { bucketId, atMs }: Overflow,
  known: { warnings: readonly Warning[]; apart: readonly Overflow[]; timeZone: string },
): boolean {
  const earlierMs = known.apart
    .filter((other) => other.bucketId === bucketId && other.atMs < atMs)
    .reduce((latest, other) => Math.max(latest, other.atMs), Number.NEGATIVE_INFINITY);
  const sinceMs = Math.max(earlierMs, atMs - within.warnedMs);
  return known.warnings.some(
    (warning) =>
      warning.bucketId === bucketId &&
      warning.raisedMs > sinceMs &&
      hasWakingHour(warning.raisedMs + leadMs, atMs, known.timeZone),
  );
}

/** A full hour of the clock from 7 to 21 between the two, ends included. */
function hasWakingHour(fromMs: number, untilMs: number, timeZone: string): boolean {
  for (let atMs = Math.ceil(fromMs / msPerHour) * msPerHour; atMs <= untilMs; atMs += msPerHour) {
    const hour = localParts(atMs, timeZone).minuteOfDay / 60;
    if (hour >= wakingFromH && hour <= wakingUntilH) return true;
  }
  return false;
}
