// What people wrote down about gathered sap, as CSV: vessels, pours, sugar, ice thrown out, washings.
import { smallTable, type Table, timeOrNothing, timeText } from "./export-table.ts";
import type { HttpParts } from "./parts.ts";
import { listWalked } from "./rounds.ts";

type Parts = Pick<HttpParts, "vessels" | "pours" | "sugars" | "rounds" | "buckets" | "gatherings">;

export function sapTables(parts: Parts): Table[] {
  return [
    vesselTable(parts),
    vesselNoteTable(parts),
    pourTable(parts),
    sugarTable(parts),
    iceTable(parts),
    roundTable(parts),
    washingTable(parts),
  ];
}

function within<T extends { atMs: number }>(
  rows: T[],
  { fromMs, toMs }: { fromMs: number; toMs: number },
): T[] {
  return rows.filter(({ atMs }) => atMs >= fromMs && atMs < toMs);
}

function vesselTable({ vessels }: Parts): Table {
  return smallTable({
    name: "vessels",
    summary: "Every vessel, and from when on it stood how",
    rows: () =>
      vessels.listStandings().map((standing) => ({
        ...standing,
        label: vessels.get(standing.vesselId).label,
      })),
    columns: {
      vessel: ({ vesselId }) => vesselId,
      label: ({ label }) => label,
      from: ({ fromMs }) => timeText(fromMs),
      capacity_l: ({ capacityL }) => Number(capacityL.toFixed(4)),
      place: ({ place }) => place,
      probe: ({ probe }) => probe,
    },
  });
}

function vesselNoteTable({ vessels }: Parts): Table {
  return smallTable({
    name: "vessel-notes",
    summary: "When a vessel was washed, and how warm its sap was found",
    rows: (span) => within(vessels.listNotes(), span),
    columns: {
      time: ({ atMs }) => timeText(atMs),
      vessel: ({ vesselId }) => vesselId,
      kind: ({ kind }) => kind,
      temp_c: ({ tempC }) => tempC,
    },
  });
}

function pourTable({ pours }: Parts): Table {
  return smallTable({
    name: "pours",
    summary: "Everything poured into or out of a vessel by hand, struck lines among them",
    rows: (span) => within(pours.list(), span),
    columns: {
      time: ({ atMs }) => timeText(atMs),
      vessel: ({ vesselId }) => vesselId,
      kind: ({ kind }) => kind,
      into: ({ intoVesselId }) => intoVesselId,
      volume_l: ({ volumeL }) => volumeL ?? "all",
      struck: ({ struck }) => (struck ? "yes" : "no"),
      note: ({ note }) => note,
    },
  });
}

function sugarTable({ sugars }: Parts): Table {
  return smallTable({
    name: "sugars",
    summary: "Sugar of the trees' sap, as it was read and corrected for temperature",
    rows: (span) => within(sugars.list(), span),
    columns: {
      time: ({ atMs }) => timeText(atMs),
      tree: ({ treeId }) => treeId,
      instrument: ({ instrument }) => instrument,
      reading_brix: ({ readingBrix }) => readingBrix,
      temp_c: ({ tempC }) => tempC,
      marked_at_c: ({ markedAtC }) => markedAtC,
      brix: ({ brix }) => brix,
    },
  });
}

function roundTable(parts: Parts): Table {
  return smallTable({
    name: "rounds",
    summary: "Every round that was walked: as planned, and what was gathered meanwhile",
    rows: (span) => listWalked(parts, span),
    columns: {
      started: ({ startedMs }) => timeText(startedMs),
      ended: ({ endedMs }) => timeOrNothing(endedMs),
      trips: ({ trips }) => trips,
      buckets: ({ buckets }) => buckets,
      planned_l: ({ plannedL }) => plannedL,
      planned_minutes: ({ plannedMinutes }) => plannedMinutes,
      gathered_buckets: ({ gatheredBuckets }) => gatheredBuckets,
      gathered_l: ({ gatheredL }) => Number(gatheredL.toFixed(3)),
    },
  });
}

function iceTable({ rounds }: Parts): Table {
  return smallTable({
    name: "ice",
    summary: "Ice that was thrown out",
    rows: (span) => within(rounds.listIce(), span),
    columns: {
      time: ({ atMs }) => timeText(atMs),
      bucket: ({ bucketId }) => bucketId,
      mass_kg: ({ massKg }) => massKg,
    },
  });
}

function washingTable({ buckets }: Parts): Table {
  return smallTable({
    name: "washings",
    summary: "When a bucket was washed",
    rows: (span) =>
      within(
        buckets
          .list()
          .flatMap(({ id }) =>
            buckets.washings.listOfBucket(id).map((atMs) => ({ bucketId: id, atMs })),
          ),
        span,
      ),
    columns: {
      time: ({ atMs }) => timeText(atMs),
      bucket: ({ bucketId }) => bucketId,
    },
  });
}
