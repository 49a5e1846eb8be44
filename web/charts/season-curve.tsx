// A season's days as bars with the year before behind them and the sum as a line: plain SVG, so that it prints.

import { formatVolume } from "../../shared/people/format.ts";
import { formatDayKey } from "../../shared/people/season-words.ts";
import type { Units } from "../../shared/wire/api.ts";
import type { SeasonReport } from "../../shared/wire/seasons.ts";

const box = { width: 720, height: 220, left: 4, right: 4, top: 12, bottom: 2 };
const plotHeight = box.height - box.top - box.bottom;
const msPerDay = 86_400_000;

type Bar = { x: number; width: number; y: number; height: number; day: string; words: string };
export type SeasonDrawing = {
  bars: Bar[];
  before: string;
  sum: string;
  topL: number;
  sumL: number;
};

/** Where everything goes; days without sap leave a gap of their width. */
export function seasonDrawing(days: SeasonReport["days"], units: Units): SeasonDrawing {
  const firstMs = Date.parse(days[0]?.day ?? "");
  const lastMs = Date.parse(days.at(-1)?.day ?? "");
  const count = days.length === 0 ? 1 : (lastMs - firstMs) / msPerDay + 1;
  const width = (box.width - box.left - box.right) / count;
  const topL = Math.max(
    1e-9,
    ...days.map(({ volumeL, lastYearVolumeL }) => Math.max(volumeL, lastYearVolumeL ?? 0)),
  );
  const sumL = days.reduce((sum, { volumeL }) => sum + volumeL, 0);
  const xOf = (day: string) => box.left + ((Date.parse(day) - firstMs) / msPerDay) * width;
  const yOf = (share: number) => box.top + (1 - share) * plotHeight;
  let soFarL = 0;
  const sum = days.map(({ day, volumeL }) => {
    soFarL += volumeL;
    return `${(xOf(day) + width).toFixed(1)} ${yOf(soFarL / Math.max(sumL, 1e-9)).toFixed(1)}`;
  });
  const before = days
    .filter(({ lastYearVolumeL }) => lastYearVolumeL !== null)
    .map(
      ({ day, lastYearVolumeL }) =>
        `M${xOf(day).toFixed(1)} ${yOf((lastYearVolumeL ?? 0) / topL).toFixed(1)}h${width.toFixed(1)}`,
    );
  const bars = days.map(({ day, volumeL }) => ({
    x: xOf(day) + width * 0.1,
    width: width * 0.8,
    y: yOf(volumeL / topL),
    height: (volumeL / topL) * plotHeight,
    day,
    words: `${formatDayKey(day)}: ${formatVolume(volumeL, units)}`,
  }));
  return {
    bars,
    before: before.join(""),
    sum: sum.length < 2 ? "" : `M${sum.join("L")}`,
    topL,
    sumL,
  };
}

export function SeasonCurve({ days, units }: { days: SeasonReport["days"]; units: Units }) {
  const { bars, before, sum, topL, sumL } = seasonDrawing(days, units);
  const first = days[0];
  const last = days.at(-1);
  if (first === undefined || last === undefined) return <p class="soft">No sap was weighed.</p>;
  const base = box.height - box.bottom;
  return (
    <figure class="season-curve">
      <svg
        viewBox={`0 0 ${box.width} ${box.height}`}
        role="img"
        aria-label={`Sap by day from ${formatDayKey(first.day)} to ${formatDayKey(last.day)}, at most ${formatVolume(topL, units)} in a day, ${formatVolume(sumL, units)} in all`}
      >
        {bars.map(({ words, day, ...bar }) => (
          <rect key={day} class="season-bar" {...bar}>
            <title>{words}</title>
          </rect>
        ))}
        <path class="season-before" d={before} />
        <path class="season-sum" d={sum} />
        <path class="small-base" d={`M0 ${base}H${box.width}`} />
      </svg>
      <p class="season-ends" aria-hidden="true">
        <span>{formatDayKey(first.day)}</span>
        <span>{formatDayKey(last.day)}</span>
      </p>
      <figcaption class="soft">
        Bars: sap of all trees by day, the highest {formatVolume(topL, units)}. Line: the sum, up to{" "}
        {formatVolume(sumL, units)}.{before !== "" && " Strokes: the same days a year before."}
      </figcaption>
    </figure>
  );
}
