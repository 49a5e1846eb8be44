// The report of a season: totals against the year before, trees and taps, best days, boils, warnings.
import { formatSyrup } from "../../shared/people/boil-words.ts";
import { formatMass, formatVolume } from "../../shared/people/format.ts";
import { formatDayKey, totalRows, warningWords } from "../../shared/people/season-words.ts";
import type { Units } from "../../shared/wire/api.ts";
import type { SeasonReport } from "../../shared/wire/seasons.ts";
import { SeasonCurve } from "../charts/season-curve.tsx";
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute } from "../routes.ts";
import { WideTable } from "./wide-table.tsx";

type Props = { page: PageFrame; report: SeasonReport };

export function SeasonReportPart({ page, report }: Props) {
  const { units } = page;
  return (
    <>
      <SeasonCurve days={report.days} units={units} />
      <Totals page={page} report={report} />
      <BestDays page={page} report={report} />
      <Trees page={page} report={report} />
      <Taps page={page} report={report} />
      <Colours page={page} report={report} />
      <h3>Warnings</h3>
      <p>
        {warningWords(report)}{" "}
        <a class="not-printed" href={hashFromRoute({ view: "record" })}>
          How well they did, hour by hour
        </a>
      </p>
    </>
  );
}

function Totals({ page, report }: Props) {
  const { totals, lastYear, year } = report;
  return (
    <WideTable label="In all" look="ranks is-narrow">
      <thead>
        <tr>
          <th>in all</th>
          <th class="number">{year}</th>
          {lastYear !== null && <th class="number">{year - 1}</th>}
        </tr>
      </thead>
      <tbody>
        {totalRows(page.units).map(({ name, of }) => (
          <tr key={name}>
            <th>{name}</th>
            <td class="number">{of(totals)}</td>
            {lastYear !== null && <td class="number">{of(lastYear)}</td>}
          </tr>
        ))}
      </tbody>
    </WideTable>
  );
}

function BestDays({ page, report }: Props) {
  if (report.bestDays.length === 0) return null;
  const words = report.bestDays.map(
    ({ day, volumeL }) => `${formatDayKey(day)} ${formatVolume(volumeL, page.units)}`,
  );
  return <p>Best days: {words.join(", ")}.</p>;
}

function Trees({ page, report }: Props) {
  const { units } = page;
  const trees = report.trees.toSorted((one, other) => other.volumeL - one.volumeL);
  if (trees.length === 0) return null;
  const hasLast = trees.some(({ lastYearVolumeL }) => lastYearVolumeL !== null);
  return (
    <>
      <h3>Trees</h3>
      <WideTable label="Trees">
        <thead>
          <tr>
            <th>tree</th>
            <th class="number">sap</th>
            <th class="number">taps</th>
            <th class="number">a tap</th>
            <th class="number">days</th>
            <th class="number">best day</th>
            <th class="number">sugar</th>
            <th class="number">syrup it makes</th>
            {hasLast && <th class="number">year before</th>}
          </tr>
        </thead>
        <tbody>
          {trees.map((tree) => (
            <tr key={tree.treeId}>
              <th>{tree.label}</th>
              <td class="number">
                {tree.lowerBound && "at least "}
                {sapWords(tree, units)}
              </td>
              <td class="number">{tree.taps}</td>
              <td class="number">{orDash(tree.perTapL, (each) => formatVolume(each, units))}</td>
              <td class="number">{tree.daysRun}</td>
              <td class="number">
                {orDash(
                  tree.bestDay,
                  ({ day, volumeL }) => `${formatDayKey(day)}, ${formatVolume(volumeL, units)}`,
                )}
              </td>
              <td class="number">{orDash(tree.sugarKg, (each) => formatMass(each, units))}</td>
              <td class="number">
                {orDash(tree.syrupVolumeL, (each) => formatSyrup(each, units))}
              </td>
              {hasLast && (
                <td class="number">
                  {orDash(tree.lastYearVolumeL, (each) => formatVolume(each, units))}
                </td>
              )}
            </tr>
          ))}
        </tbody>
      </WideTable>
    </>
  );
}

/** "12.3 L"; what no cell weighed is told by who gathered it. */
function sapWords({ volumeL, byHandL }: SeasonReport["trees"][number], units: Units): string {
  const byHand = `${formatVolume(byHandL, units)} by hand`;
  if (byHandL === 0) return formatVolume(volumeL, units);
  return volumeL === 0 ? byHand : `${formatVolume(volumeL, units)} and ${byHand}`;
}

function Taps({ page, report }: Props) {
  const taps = report.taps.toSorted((one, other) => other.volumeL - one.volumeL);
  if (taps.length === 0) return null;
  return (
    <details class="fold">
      <summary>Each tap</summary>
      <p class="soft">A bucket under more than one tap is shared out evenly.</p>
      <ul class="tap-list">
        {taps.map(({ tapId, label, volumeL, daysRun }) => (
          <li key={tapId}>
            {label}: {formatVolume(volumeL, page.units)} on {daysRun}{" "}
            {daysRun === 1 ? "day" : "days"}
          </li>
        ))}
      </ul>
    </details>
  );
}

function Colours({ page, report }: Props) {
  if (report.colours.length === 0) return null;
  const words = report.colours.map(
    ({ colour, volumeL }) => `${colour} ${formatSyrup(volumeL, page.units)}`,
  );
  return <p>Bottled by colour class: {words.join(", ")}.</p>;
}

function orDash<T>(value: T | null, write: (value: T) => string): string {
  return value === null ? "–" : write(value);
}
