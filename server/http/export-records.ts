// The records of people as CSV: trees, taps, hangings, days, boils, their logs, batches, alarms, seasons.
import { kgFromG, msPerHour } from "../../shared/units.ts";
import { accountOfBoil } from "../domain/boil/account.ts";
import { smallTable, type Table, timeOrNothing, timeText } from "./export-table.ts";
import type { HttpParts } from "./parts.ts";

type Parts = Pick<
  HttpParts,
  "trees" | "taps" | "buckets" | "boils" | "batches" | "seasons" | "alarms" | "tracks"
>;

export function recordTables(parts: Parts): Table[] {
  return [
    treeTable(parts),
    tapTable(parts),
    hangingTable(parts),
    dayTable(parts),
    boilTable(parts),
    entryTable(parts),
    batchTable(parts),
    alarmTable(parts),
    seasonTable(parts),
  ];
}

function treeTable({ trees }: Parts): Table {
  return smallTable({
    name: "trees",
    summary: "Every tree",
    rows: () => trees.list(),
    columns: {
      tree: ({ id }) => id,
      label: ({ label }) => label,
      species: ({ species }) => species,
      girth_cm: ({ girthCm }) => girthCm,
      health: ({ health }) => health,
      note: ({ note }) => note,
    },
  });
}

function tapTable({ taps }: Parts): Table {
  return smallTable({
    name: "taps",
    summary: "Every tap",
    rows: () => taps.list(),
    columns: {
      tap: ({ id }) => id,
      tree: ({ treeId }) => treeId,
      label: ({ label }) => label,
      tapped: ({ tappedMs }) => timeOrNothing(tappedMs),
      pulled: ({ pulledMs }) => timeOrNothing(pulledMs),
      around_cm: ({ aroundCm }) => aroundCm,
      height_cm: ({ heightCm }) => heightCm,
      bit_mm: ({ bitMm }) => bitMm,
      depth_mm: ({ depthMm }) => depthMm,
      slope_degrees: ({ slopeDegrees }) => slopeDegrees,
      wood_temp_c: ({ woodTempC }) => woodTempC,
    },
  });
}

function hangingTable({ buckets }: Parts): Table {
  return smallTable({
    name: "hangings",
    summary: "Which taps ran into which bucket, from when until when",
    rows: () => buckets.list().flatMap(({ id }) => buckets.hangings.listOfBucket(id)),
    columns: {
      bucket: ({ bucketId }) => bucketId,
      taps: ({ tapIds }) => tapIds.join(" "),
      from: ({ fromMs }) => timeText(fromMs),
      until: ({ untilMs }) => timeOrNothing(untilMs),
    },
  });
}

function dayTable({ tracks }: Parts): Table {
  const dayOf = (atMs: number) => timeText(atMs).slice(0, 10);
  return smallTable({
    name: "days",
    summary: "Every day of every bucket: sap that came",
    rows: ({ fromMs, toMs }) => tracks.listDays(dayOf(fromMs), dayOf(toMs)),
    columns: {
      day: ({ day }) => day,
      bucket: ({ bucketId }) => bucketId,
      came_kg: ({ inflowG }) => kgFromG(inflowG),
      peak_kg_per_h: ({ peakGPerH }) => kgFromG(peakGPerH),
      onset: ({ onsetMs }) => timeOrNothing(onsetMs ?? null),
      covered_h: ({ coveredMs }) => coveredMs / msPerHour,
      at_least: ({ lowerBound }) => (lowerBound ? "yes" : "no"),
    },
  });
}

function boilTable({ boils }: Parts): Table {
  return smallTable({
    name: "boils",
    summary: "Every boil and what it adds up to",
    rows: (span) => boils.list(span).map((boil) => ({ ...boil, ...accountOfBoil(boil) })),
    columns: {
      boil: ({ id }) => id,
      started: ({ startedMs }) => timeText(startedMs),
      ended: ({ endedMs }) => timeOrNothing(endedMs),
      aim_brix: ({ aimBrix }) => aimBrix,
      pan_area_m2: ({ panAreaM2 }) => panAreaM2,
      sap_l: ({ sapVolumeL }) => sapVolumeL,
      drawn_l: ({ drawnVolumeL }) => drawnVolumeL,
      water_kg: ({ waterKg }) => waterKg,
      hours: ({ hours }) => hours,
      fuel: ({ fuel }) => fuel,
      fuel_amount: ({ fuelAmount }) => fuelAmount,
      evaporation_mm_per_h: ({ evaporationMmPerH }) => evaporationMmPerH,
      efficiency: ({ efficiency }) => efficiency,
      note: ({ note }) => note,
    },
  });
}

function entryTable({ boils }: Parts): Table {
  return smallTable({
    name: "boil-entries",
    summary: "Every line of every boil's log",
    rows: (span) =>
      boils
        .list(span)
        .flatMap(({ id, entries }) => entries.map((entry) => ({ boil: id, ...entry }))),
    columns: {
      boil: ({ boil }) => boil,
      time: ({ atMs }) => timeText(atMs),
      kind: ({ kind }) => kind,
      volume_l: ({ volumeL }) => volumeL,
      brix: ({ brix }) => brix,
      temp_c: ({ tempC }) => tempC,
      thermometer_offset_c: ({ offsetC }) => offsetC,
      pressure_pa: ({ pressurePa }) => pressurePa,
      amount: ({ amount }) => amount,
      vessel: ({ vesselId }) => vesselId,
    },
  });
}

function batchTable({ batches }: Parts): Table {
  return smallTable({
    name: "batches",
    summary: "Every bottled batch",
    rows: (span) => batches.list(span),
    columns: {
      batch: ({ year, number }) => `${year}-${number}`,
      bottled: ({ bottledMs }) => timeText(bottledMs),
      boil: ({ boilId }) => boilId,
      volume_l: ({ volumeL }) => volumeL,
      brix: ({ brix }) => brix,
      transmission_percent: ({ transmissionPercent }) => transmissionPercent,
      fill_temp_c: ({ fillTempC }) => fillTempC,
      bottles: ({ bottles }) =>
        bottles.map(({ count, volumeL }) => `${count} x ${volumeL} L`).join("; "),
      ingredients: ({ ingredients }) => ingredients,
      words: ({ words }) => words,
      note: ({ note }) => note,
    },
  });
}

function alarmTable({ alarms }: Parts): Table {
  return smallTable({
    name: "alarms",
    summary: "Alarms of a span, the newest 2,000",
    rows: (span) => alarms.list(span),
    columns: {
      raised: ({ raisedAtMs }) => timeText(raisedAtMs),
      cleared: ({ clearedAtMs }) => timeOrNothing(clearedAtMs),
      seen: ({ seenAtMs }) => timeOrNothing(seenAtMs),
      kind: ({ kind }) => kind,
      subject: ({ subject }) => subject,
      severity: ({ severity }) => severity,
      text: ({ text }) => text,
    },
  });
}

function seasonTable({ seasons }: Parts): Table {
  return smallTable({
    name: "seasons",
    summary: "Every season that was closed or noted, with the closing jobs that were done",
    rows: () => seasons.list(),
    columns: {
      year: ({ year }) => year,
      closed: ({ closedMs }) => timeOrNothing(closedMs),
      note: ({ note }) => note,
      jobs_done: ({ year }) =>
        seasons
          .doneJobs(year)
          .map(({ job }) => job)
          .join(" "),
    },
  });
}
