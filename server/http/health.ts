// What tells a machine how the server fares: liveness, and figures as Prometheus text.
import { Router } from "express";
import type { Guard } from "./guard.ts";
import { formatMetrics, type Metric } from "./metrics.ts";
import type { HttpParts } from "./parts.ts";

type Parts = Pick<HttpParts, "intake" | "allowance" | "watch" | "care"> & { guard: Guard };

export function healthRouter({ intake, allowance, watch, care, guard }: Parts): Router {
  const router = Router();
  router.get("/healthz", (_request, response) => {
    response.set("cache-control", "no-store").json({ ok: true });
  });
  router.get("/metrics", guard.requireSessionOrLoopback, (_request, response) => {
    response.set("cache-control", "no-store").type("text/plain; version=0.0.4; charset=utf-8");
    response.send(
      formatMetrics([
        ...intakeMetrics(intake, allowance),
        ...bucketMetrics(watch),
        ...careMetrics(care),
        memory(),
      ]),
    );
  });
  return router;
}

function intakeMetrics(intake: Parts["intake"], allowance: Parts["allowance"]): Metric[] {
  const counts = intake.counts();
  const counter = (name: string, help: string, value: number): Metric => ({
    name: `brimful_${name}_total`,
    help,
    type: "counter",
    samples: [{ value }],
  });
  return [
    counter("packs", "Packs taken since the start, refused ones among them.", counts.packs),
    counter("readings", "Readings stored since the start.", counts.readings),
    counter("duplicate_readings", "Readings that were there already.", counts.duplicates),
    counter("refused_packs", "Packs refused whole.", counts.refusedPacks),
    counter("refused_records", "Records of packs refused alone.", counts.refusedRecords),
    counter("left_out_messages", "Messages of who sends too much, left out.", allowance.leftOut()),
    counter("store_failures", "Writes to the store that failed.", counts.storeFailures),
  ];
}

function bucketMetrics(watch: Parts["watch"]): Metric[] {
  const { buckets, alarms } = watch.yardView();
  const gauge = (name: string, help: string, key: "volumeL" | "flowLPerH"): Metric => ({
    name: `brimful_bucket_${name}`,
    help,
    type: "gauge",
    samples: buckets.flatMap(({ id, [key]: value }) =>
      value === null ? [] : [{ labels: { bucket: id }, value }],
    ),
  });
  return [
    openAlarms(alarms),
    gauge("volume_litres", "Sap in the bucket.", "volumeL"),
    gauge("flow_litres_per_hour", "Sap running into the bucket.", "flowLPerH"),
  ];
}

function openAlarms(alarms: readonly { kind: string; clearedAtMs: number | null }[]): Metric {
  const counts = new Map<string, number>();
  for (const { kind, clearedAtMs } of alarms) {
    if (clearedAtMs === null) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  }
  return {
    name: "brimful_open_alarms",
    help: "Alarms that are open.",
    type: "gauge",
    samples: [...counts].map(([kind, value]) => ({ labels: { kind }, value })),
  };
}

function careMetrics(care: Parts["care"]): Metric[] {
  const { nowMs, disk, backups, waitingPacks } = care.view();
  const gauge = (name: string, help: string, value: number | null): Metric => ({
    name: `brimful_${name}`,
    help,
    type: "gauge",
    samples: value === null ? [] : [{ value }],
  });
  const ageS = backups.lastAtMs === null ? null : (nowMs - backups.lastAtMs) / 1000;
  return [
    gauge("disk_free_bytes", "Room where the database lies.", disk.freeBytes),
    gauge("store_bytes", "What the database takes.", disk.storeBytes),
    gauge("backup_age_seconds", "Since the newest backup was made.", ageS),
    gauge("waiting_packs", "Packs that are to be written now.", waitingPacks),
  ];
}

function memory(): Metric {
  return {
    name: "process_resident_memory_bytes",
    help: "Memory of this process that is in RAM.",
    type: "gauge",
    samples: [{ value: process.memoryUsage.rss() }],
  };
}
