// Prints what was measured, the product beside the plain ways.
import { costDifference, type RuleFigures, ruleFigures, tripCost } from "./cost.ts";
import type { DayFigures } from "./day-score.ts";
import type { LeadFigures } from "./forecast-score.ts";
import type { Measured } from "./measure.ts";
import { printTable } from "./print-table.ts";
import type { SeasonOutcomes } from "./warnings.ts";

export const kindNames = {
  A: "trees of kind A (freeze and recharge, as the forecast supposes)",
  B: "trees of kind B (a bump a day, another mechanism)",
};

export function printTables(measured: Measured): void {
  printLeads(measured.leads);
  printDays(measured.byDay);
  const fromDay4 = measured.seasons.map((season) => within(season, (day) => day >= 4));
  printRules("warning", fromDay4);
  printRules(
    "days 1 to 9",
    measured.seasons.map((season) => within(season, (day) => day < 10)),
  );
  printDifferences(fromDay4);
}

function within(season: SeasonOutcomes, holds: (day: number) => boolean): SeasonOutcomes {
  return new Map(
    [...season].map(([rule, outcomes]) => [rule, outcomes.filter(({ day }) => holds(day))]),
  );
}

function printDays(figures: readonly DayFigures[]): void {
  const rows = figures.map(({ name, days, rooms, count, said, came, calibrationError }) => [
    name,
    days,
    rooms,
    String(count),
    said.toFixed(3),
    came.toFixed(3),
    calibrationError.toFixed(3),
  ]);
  printTable(["24 h ahead", "day", "room", "chances", "said", "came", "ECE"], rows);
}

function printLeads(leads: ReadonlyMap<string, readonly LeadFigures[]>): void {
  const rows = [...leads].flatMap(([name, figures]) =>
    figures.map((lead) => [
      name,
      `${lead.leadH} h`,
      lead.base.toFixed(3),
      lead.brierSkill.toFixed(2),
      lead.reliability.toFixed(3),
      lead.resolution.toFixed(2),
      lead.crpsL.toFixed(3),
      lead.zeroMaeL.toFixed(3),
      lead.calibrationError.toFixed(3),
      lead.coverage90.toFixed(2),
    ]),
  );
  const head = [
    "inflow ahead",
    "lead",
    "base rate",
    "Brier skill",
    "reliability",
    "resolution",
    "CRPS L",
    "zero L",
    "ECE",
    "in 90 %",
  ];
  printTable(head, rows);
}

function printRules(what: string, seasons: readonly SeasonOutcomes[]): void {
  const rows = rulesOf(seasons).map((rule) => {
    const figures = figuresOver(seasons, rule);
    return [
      rule,
      figures.overflows.toFixed(0),
      figures.useful.toFixed(3),
      `${figures.nightUseful}/${figures.nights}`,
      figures.falsePerDay.toFixed(3),
      `${figures.medianLeadH.toFixed(1)} h`,
      figures.cost.toFixed(4),
    ];
  });
  const cost = `cost at ${tripCost}`;
  printTable([what, "overflows", "useful", "at night", "false a day", "lead", cost], rows);
}

/** Negative is cheaper than the plain rule. */
function printDifferences(seasons: readonly SeasonOutcomes[]): void {
  const rules = [
    "Brimful 0.2",
    "Brimful 0.15",
    "Brimful 0.2, no forecast",
    "Brimful 0.15, no forecast",
  ];
  const rows = rules.flatMap((rule) =>
    ["fill 80 %", "fill 90 %", "linear 6 h"].map((baseline) => {
      const { mean, low, high } = costDifference(seasons, rule, baseline);
      return [rule, baseline, mean.toFixed(4), `${low.toFixed(4)} to ${high.toFixed(4)}`];
    }),
  );
  printTable(["cost less that of", "plain rule", "mean", "90 % over seasons"], rows);
}

function rulesOf(seasons: readonly SeasonOutcomes[]): string[] {
  return [...(seasons[0]?.keys() ?? [])];
}

export function figuresOver(seasons: readonly SeasonOutcomes[], rule: string): RuleFigures {
  return ruleFigures(
    rule,
    seasons.flatMap((season) => season.get(rule) ?? []),
  );
}
