// Prints how well flow, events, volumes and onsets were told.
import type { ColdStart } from "./cold-start.ts";
import { coldStartMinutes } from "./cold-start.ts";
import type { EventTable } from "./event-score.ts";
import type { FlowFigures } from "./flow-score.ts";
import type { FlowMeasured } from "./measure-flow.ts";
import { percent, printTable } from "./print-table.ts";
import type { WetFigures } from "./yard-wet.ts";

export function printFlowTables({ flow, events, volumes, onsets, wet }: FlowMeasured): void {
  printFlow(flow);
  printEvents(events);
  printTable(
    ["sap booked a day", "days", "median off", "p90 off", "quiet days", "median", "p90"],
    [
      [
        "Brimful",
        `${volumes.days}`,
        `${(100 * volumes.median).toFixed(2)} %`,
        percent(volumes.p90),
        `${volumes.quietDays}`,
        `${volumes.quietMedianG.toFixed(1)} g`,
        `${volumes.quietP90G.toFixed(0)} g`,
      ],
    ],
  );
  printTable(
    ["sap begins to run", "onsets", "found", "p10", "median", "p90", "false a tree-day"],
    [
      [
        "Brimful",
        `${onsets.onsets}`,
        percent(onsets.found),
        ...[onsets.p10Min, onsets.p50Min, onsets.p90Min].map((min) => `${min.toFixed(0)} min`),
        onsets.falsePerDay.toFixed(3),
      ],
    ],
  );
  printWet(wet);
}

function printWet({ snowy, found, dry, falseOnes }: WetFigures): void {
  printTable(
    ["snow across buckets", "half hours of it", "found", "dry half hours", "taken for wet"],
    [["Brimful", `${snowy}`, percent(found / snowy), `${dry}`, percent(falseOnes / dry)]],
  );
}

export function printColdStart(rows: readonly ColdStart[]): void {
  printTable(
    ["0.2 L/h met cold, RMSE L/h", ...coldStartMinutes.map((minutes) => `${minutes} min`)],
    rows.map(({ name, rmseL }) => [name, ...rmseL.map((rmse) => rmse.toFixed(4))]),
  );
}

function printFlow(flow: readonly (readonly [string, FlowFigures])[]): void {
  const rows = flow.map(([name, figures]) => [
    name,
    figures.rmseRunning.toFixed(3),
    figures.rmse.toFixed(3),
    figures.median.toFixed(4),
    figures.p95.toFixed(3),
    figures.p99.toFixed(3),
    figures.idleP95.toFixed(3),
    percent(figures.shareOff),
    figures.coverage === null ? "" : figures.coverage.toFixed(3),
  ]);
  const head = [
    "flow, L/h",
    "RMSE running",
    "all",
    "median",
    "p95",
    "p99",
    "idle p95",
    "> 0.1 off",
    "in 90 %",
  ];
  printTable(head, rows);
}

const changing = new Set<string>(["gather", "set", "pour", "lift"]);

function printEvents({ kinds, falsePerDay, falseMassPerDay }: EventTable): void {
  const rows = kinds.map((figures) => [
    figures.kind,
    `${figures.count}`,
    `${figures.unsampled}`,
    figures.recall.toFixed(3),
    figures.named.toFixed(3),
    ...[figures.massMedianG, figures.massP95G].map((errorG) =>
      changing.has(figures.kind) ? `${errorG.toFixed(0)} g` : "",
    ),
  ]);
  const head = ["done", "times", "between readings", "told", "named", "mass off", "p95"];
  printTable(head, rows);
  console.log(
    `told and not done: ${falsePerDay.toFixed(3)} a tree-day, of them with a change of mass ${falseMassPerDay.toFixed(3)}`,
  );
}
