// A season's end in people's words.
import type { Units } from "../wire/api.ts";
import type { SeasonReport, SeasonTotals } from "../wire/seasons.ts";
import { formatFuel, formatHours, formatSyrup } from "./boil-words.ts";
import { formatCount, formatMass, formatVolume } from "./format.ts";

/** Less than this clings to the wall. */
const leastSapL = 0.05;

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** "14 Mar" of "2026-03-14". */
export function formatDayKey(day: string): string {
  return `${Number(day.slice(8))} ${months[Number(day.slice(5, 7)) - 1] ?? ""}`;
}

type TotalRow = { name: string; of: (totals: SeasonTotals) => string };

/** Every total that the report tells, in its order. */
export function totalRows(units: Units): TotalRow[] {
  return [
    { name: "sap, weighed", of: ({ sapVolumeL }) => formatVolume(sapVolumeL, units) },
    { name: "gathered", of: ({ gatheredVolumeL }) => formatVolume(gatheredVolumeL, units) },
    { name: "taps", of: ({ taps }) => String(taps) },
    {
      name: "a tap, of trees that ran",
      of: ({ perTapL }) => known(perTapL, (each) => formatVolume(each, units)),
    },
    { name: "days it ran", of: ({ daysRun }) => String(daysRun) },
    {
      name: "sugar in it, of trees measured",
      of: ({ sugarKg }) => known(sugarKg, (each) => formatMass(each, units)),
    },
    { name: "boils", of: ({ boils }) => String(boils) },
    { name: "hours at the pan", of: ({ boilHours }) => formatHours(boilHours) },
    { name: "sap boiled", of: ({ boiledVolumeL }) => formatVolume(boiledVolumeL, units) },
    { name: "syrup drawn off", of: ({ drawnVolumeL }) => formatSyrup(drawnVolumeL, units) },
    {
      name: "sap to one of syrup",
      of: ({ sapPerSyrup }) => known(sapPerSyrup, (each) => each.toFixed(1)),
    },
    { name: "fuel", of: (totals) => fuelOf(totals, units) },
    { name: "batches", of: ({ batches }) => String(batches) },
    { name: "syrup bottled", of: ({ bottledVolumeL }) => formatSyrup(bottledVolumeL, units) },
  ];
}

function known<T>(value: T | null, write: (value: T) => string): string {
  return value === null ? "not known" : write(value);
}

function fuelOf({ woodKg, propaneKg, electricityKwh }: SeasonTotals, units: Units): string {
  const parts = [
    woodKg > 0 && `${formatFuel(woodKg, "wood", units)} of wood`,
    propaneKg > 0 && `${formatFuel(propaneKg, "propane", units)} of propane`,
    electricityKwh > 0 && formatFuel(electricityKwh, "electricity", units),
  ].filter((part) => part !== false);
  return parts.length === 0 ? "none logged" : parts.join(", ");
}

/** How well the warnings did, as far as the alarms tell. */
export function warningWords({ warnings }: Pick<SeasonReport, "warnings">): string {
  const { brimful, warned, medianLeadH } = warnings;
  if (brimful === 0) return "No bucket stood at the rim.";
  const lead = medianLeadH === null ? "" : formatHours(medianLeadH);
  if (brimful === 1) {
    const told = warned === 0 ? "no warning came before" : `it was warned of ${lead} ahead`;
    return `One bucket stood at the rim; ${told}.`;
  }
  const half = warned > 1 ? `, half of them more than ${lead} ahead` : `, ${lead} ahead`;
  const told = `${warned} of these had been warned of before${warned === 0 ? "" : half}`;
  return `Buckets stood at the rim ${brimful} times; ${told}.`;
}

/** What is left to do when a season is closed: a word each, none when all is done. */
export function leftOpenWords(
  left: { jobs: number; spiles: number; vessels: readonly { label: string; volumeL: number }[] },
  units: Units,
): string[] {
  const { jobs, spiles, vessels } = left;
  const sap = vessels.filter(({ volumeL }) => volumeL >= leastSapL);
  return [
    ...(jobs === 0 ? [] : [`${formatCount(jobs, "job")} not ticked`]),
    ...(spiles === 0 ? [] : [`${formatCount(spiles, "spile")} still in`]),
    ...sap.map(({ label, volumeL }) => `${formatVolume(volumeL, units)} of sap in ${label}`),
  ];
}
