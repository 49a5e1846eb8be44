// When a bucket brims over, as people say it: no finer than it is known.
import { localParts } from "../local-time.ts";
import { msPerHour, msPerMinute } from "../units.ts";
import type { Brim } from "../wire/api.ts";
import { formatTimeOfDay, type ReaderTime } from "./format.ts";

/**
 * "Brims about 18:45, likely 17:30 to 21:00": steps of five minutes, a quarter or half an hour by how
 * wide the span is, which is never made narrower. The day is said once while it stays the same.
 */
export function brimSentence(brim: Brim, time: ReaderTime): string {
  const { t10Ms, t50Ms, t90Ms } = brim;
  if (t50Ms === null) return chanceWords(brim, time);
  if (t50Ms <= time.nowMs) return "Brims any moment";
  const stepMs = stepOf(brim);
  const middleMs = nearest(t50Ms, { stepMs, timeZone: time.timeZone });
  const about = `Brims about ${momentWords(middleMs, time)}`;
  if (t10Ms === null) return about;
  const earlyMs = Math.max(time.nowMs, stepDown(t10Ms, { stepMs, timeZone: time.timeZone }));
  const early = earlyMs === time.nowMs ? "now" : momentAfter(middleMs, earlyMs, time);
  if (t90Ms === null) return `${about}, hardly before ${early}`;
  const lateMs = stepDown(t90Ms + stepMs - 1, { stepMs, timeZone: time.timeZone });
  return `${about}, likely ${early} to ${momentAfter(earlyMs, lateMs, time)}`;
}

/** Nobody counts on a drip for longer. */
const steadyMs = 48 * msPerHour;

type Filling = { volumeL: number | null; capacityL: number; flowLPerH: number | null };

/**
 * The simple sum beside the forecast: "full about 15:30 if it ran on as now", which knows nothing of
 * evening, frost and sun. Undefined for a bucket that doesn't run or isn't weighed.
 */
export function steadyWords(
  { volumeL, capacityL, flowLPerH }: Filling,
  time: ReaderTime,
): string | undefined {
  if (volumeL === null || flowLPerH === null || flowLPerH < 0.02) return undefined;
  const roomL = capacityL - volumeL;
  if (roomL <= 0) return undefined;
  const lastsMs = (roomL / flowLPerH) * msPerHour;
  if (lastsMs > steadyMs) return "not full within two days if it ran on as now";
  const stepMs = (lastsMs < 2 * msPerHour ? 5 : 30) * msPerMinute;
  const atMs = nearest(time.nowMs + lastsMs, { stepMs, timeZone: time.timeZone });
  return `full about ${momentWords(atMs, time)} if it ran on as now`;
}

/** A chance as people say it. */
export function oddsWords(probability: number): string {
  if (probability >= 0.9) return "Almost sure";
  if (probability >= 0.6) return "Likely";
  if (probability >= 0.4) return "As likely as not";
  return `1 chance in ${Math.max(2, Math.round(1 / Math.max(probability, 0.01)))}`;
}

function chanceWords({ probability, t10Ms }: Brim, time: ReaderTime): string {
  const odds = oddsWords(probability);
  if (t10Ms === null) return `${odds} that it brims over before you come`;
  const step = { stepMs: 30 * msPerMinute, timeZone: time.timeZone };
  const fromMs = Math.max(time.nowMs, stepDown(t10Ms, step));
  return `May brim from ${momentWords(fromMs, time)}, ${odds.toLowerCase()}`;
}

function stepOf({ t10Ms, t50Ms, t90Ms }: Brim): number {
  const lateMs = t90Ms ?? Number.POSITIVE_INFINITY;
  const spanMs = lateMs - (t10Ms ?? t50Ms ?? 0);
  if (spanMs <= msPerHour) return 5 * msPerMinute;
  return (spanMs <= 6 * msPerHour ? 15 : 30) * msPerMinute;
}

type Step = { stepMs: number; timeZone: string };

/** Down to a step of the local clock, which a zone of half hours shows too. */
function stepDown(atMs: number, { stepMs, timeZone }: Step): number {
  const intoHourMs = localParts(atMs, timeZone).minute * msPerMinute + (atMs % msPerMinute);
  return atMs - (intoHourMs % stepMs);
}

function nearest(atMs: number, step: Step): number {
  return stepDown(atMs + step.stepMs / 2, step);
}

/** "17:40" today, "tomorrow 8:00" or "Thu 14:20" else. */
function momentWords(atMs: number, time: ReaderTime): string {
  return formatTimeOfDay(atMs, time).replace(/^today /, "");
}

/** The same without its day where that was just said. */
function momentAfter(saidMs: number, atMs: number, time: ReaderTime): string {
  const dayKey = (ms: number) => localParts(ms, time.timeZone).dayKey;
  const words = formatTimeOfDay(atMs, time);
  return dayKey(saidMs) === dayKey(atMs) ? words.replace(/^.* /, "") : words;
}
