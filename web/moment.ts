// A moment that a person says, by the yard's own clock and calendar.
import { useState } from "preact/hooks";
import { localParts, msAtLocalTime } from "../shared/local-time.ts";
import { type Parsed, parsed, refused } from "../shared/parsed.ts";
import { formatTimeOfDay } from "../shared/people/format.ts";

export type MomentOf = {
  nowMs: number;
  timeZone: string;
  before?: number | null | undefined;
  optional?: boolean;
};

// Nobody writes down a tapping before the trees of today were saplings.
const earliestMs = Date.UTC(1970, 0, 1);

/** "2026-03-05T07:30", as a browser's date and time field wants it. */
export function momentField(atMs: number, timeZone: string): string {
  const { dayKey, hour, minute } = localParts(atMs, timeZone);
  const two = (value: number) => String(value).padStart(2, "0");
  return `${dayKey}T${two(hour)}:${two(minute)}`;
}

/** A moment up to now; seconds, where a browser adds them, are left out. */
export function parseMoment(text: string, { nowMs, timeZone }: MomentOf): Parsed<number> {
  const found = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)/.exec(text.trim());
  if (found === null) return refused("Missing: say the day and the time");
  const [, day = "", time = ""] = found;
  let atMs: number;
  try {
    atMs = msAtLocalTime(day, time, timeZone);
  } catch {
    return refused(`There is no ${day} ${time}`);
  }
  if (atMs > nowMs) {
    return refused(
      `That is still to come: it is ${formatTimeOfDay(nowMs, { nowMs, timeZone })} now`,
    );
  }
  return atMs < earliestMs ? refused("That is before 1970") : parsed(atMs);
}

export type Moment = {
  text: string;
  /** Epoch milliseconds; null is left empty, undefined is wrong. */
  value: number | null | undefined;
  problem: string | undefined;
  isChanged: boolean;
  isTold: boolean;
  set: (text: string) => void;
  tell: () => void;
};

export function useMoment(moment: MomentOf): Moment {
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const [isTold, setTold] = useState(false);
  return {
    ...readMoment(typed, moment),
    isTold,
    isChanged: typed !== undefined,
    set: setTyped,
    tell: () => setTold(true),
  };
}

/** What a field of date and time reads as; a moment that nobody touched stays exact. */
export function readMoment(
  typed: string | undefined,
  moment: MomentOf,
): Pick<Moment, "text" | "value" | "problem"> {
  const { before = null, timeZone, optional = false } = moment;
  const text = typed ?? (before === null ? "" : momentField(before, timeZone));
  if (typed === undefined && before !== null) return { text, value: before, problem: undefined };
  if (text === "" && optional) return { text, value: null, problem: undefined };
  const read = parseMoment(text, moment);
  return read.ok
    ? { text, value: read.value, problem: undefined }
    : { text, value: undefined, problem: read.problem };
}
