// How finely a span is asked for, and how far beyond what is in sight.
import { msPerHour, msPerMinute } from "../../shared/units.ts";
import { lengthOf, type TimeSpan } from "./time-span.ts";

/** So many steps in sight at most; with a screen's width asked for on each side, three times as many. */
const mostInSight = 480;
/** Up to here the server goes through readings, which takes it long: less is asked for beside. */
const finestSlotMs = 10 * msPerMinute;
const minutes = [0.5, 1, 2, 5, 10, 20, 30, 40, 60, 90, 120, 180, 240, 360, 720, 1440];

export type AskedSpan = TimeSpan & { stepMs: number };

/** What to ask for so that the span in sight can be moved a little before more must come. */
export function askedSpan(
  span: TimeSpan,
  from: { knownMs: TimeSpan; leastStepMs: number },
): AskedSpan {
  const leastMs = Math.max(from.leastStepMs, lengthOf(span) / mostInSight);
  const stepMs = (minutes.find((one) => one * msPerMinute >= leastMs) ?? 1440) * msPerMinute;
  const besideMs = lengthOf(span) * (stepMs < finestSlotMs ? 0.5 : 1);
  const fromMs = Math.max(from.knownMs.fromMs - stepMs, span.fromMs - besideMs);
  const toMs = Math.max(fromMs + stepMs, Math.min(from.knownMs.toMs, span.toMs + besideMs));
  return { fromMs: Math.floor(fromMs / stepMs) * stepMs, toMs, stepMs };
}

/** All that is known, as coarse as one answer may be. */
export function wholeSpan(knownMs: TimeSpan): AskedSpan {
  const stepMs = Math.max(msPerHour, Math.ceil(lengthOf(knownMs) / 1400 / msPerHour) * msPerHour);
  return { fromMs: Math.floor(knownMs.fromMs / stepMs) * stepMs, toMs: knownMs.toMs, stepMs };
}
