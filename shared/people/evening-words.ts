// The evening's digest: what came today, what stands, what to do and what is wrong, for who asked to hear it once a day.
import type { AlarmView, BucketView, Units, YardView } from "../wire/api.ts";
import type { VesselView } from "../wire/vessels.ts";
import { formatList, formatRoundVolume } from "./format.ts";

export type EveningYard = Pick<YardView, "buckets" | "alarms" | "doNow"> & {
  vessels: readonly Pick<VesselView, "volumeL" | "parked">[];
};
export type EveningWords = { title: string; text: string };

const mostNames = 3;
const mostAlarms = 8;
const leastL = 0.05;

/** A line for the top and the whole below it; undefined while no bucket hangs for sap. */
export function eveningWords(yard: EveningYard, units: Units): EveningWords | undefined {
  const inUse = yard.buckets.filter(({ role, state }) => role === "sap" && state !== "parked");
  if (inUse.length === 0) return undefined;
  const came = inUse.filter(({ todayL }) => todayL !== null);
  const todayL = sum(came.map((bucket) => bucket.todayL ?? 0));
  const title = came.length === 0 ? "no bucket was weighed today" : cameWords(todayL, units);
  const lines = [
    came.length === 0
      ? "No bucket was weighed today."
      : `${capital(title)}${mostFrom(came, units)}.`,
    standsWords(inUse, yard.vessels, units),
    yard.doNow.sentence,
    ...alarmLines(yard.alarms),
  ];
  return { title: `This evening: ${title}`, text: lines.join("\n") };
}

function cameWords(todayL: number, units: Units): string {
  return todayL < leastL
    ? "no sap came today"
    : `${formatRoundVolume(todayL, units)} of sap came today`;
}

/** ", most from Gate (9.0 L), Well (7.2 L) and Spring (6.1 L)"; of one or two buckets nothing new. */
function mostFrom(came: readonly BucketView[], units: Units): string {
  const best = came
    .filter(({ todayL }) => (todayL ?? 0) >= leastL)
    .sort((a, b) => (b.todayL ?? 0) - (a.todayL ?? 0));
  if (best.length < mostNames) return "";
  const names = best
    .slice(0, mostNames)
    .map(({ label, todayL }) => `${label} (${formatRoundVolume(todayL ?? 0, units)})`);
  return `, most from ${formatList(names)}`;
}

function standsWords(
  buckets: readonly BucketView[],
  vessels: EveningYard["vessels"],
  units: Units,
): string {
  const inBucketsL = sum(buckets.map(({ volumeL }) => Math.max(0, volumeL ?? 0)));
  const inVesselsL = sum(vessels.filter(({ parked }) => !parked).map(({ volumeL }) => volumeL));
  const bucketWords = `${formatRoundVolume(inBucketsL, units)} in the buckets`;
  if (vessels.length === 0) return `Now there are ${bucketWords}.`;
  return `Now there are ${bucketWords} and ${formatRoundVolume(inVesselsL, units)} in vessels.`;
}

function alarmLines(alarms: readonly AlarmView[]): string[] {
  const open = alarms.filter(({ clearedAtMs }) => clearedAtMs === null);
  if (open.length === 0) return ["Nothing is wrong that the cells know of."];
  const more = open.length - mostAlarms;
  return [
    "Not settled yet:",
    ...open.slice(0, mostAlarms).map(({ text }) => `- ${text}`),
    ...(more > 0 ? [`- and ${more} more on the page`] : []),
  ];
}

const capital = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);
