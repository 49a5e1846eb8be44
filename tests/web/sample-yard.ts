// A small yard for page tests: every field filled, any of them replaced.
import type { AlarmView, BucketView, Curve, YardView } from "../../shared/wire/api.ts";
import type { PageFrame } from "../../web/page-frame.ts";

/** Wed 11 March 2026, 15:40 in New York. */
export const nowMs = Date.UTC(2026, 2, 11, 19, 40);
export const hourMs = 3_600_000;

export function sampleBucket(parts: Partial<BucketView> = {}): BucketView {
  return {
    id: "gate",
    label: "Gate",
    role: "sap",
    tree: { id: "t-gate", label: "Gate maple" },
    tapIds: ["tap-1"],
    cell: "hill/cell-1",
    capacityL: 12,
    sunShare: 1,
    washedMs: null,
    emptyKg: 1.1,
    massKg: 7.1,
    volumeL: 6,
    fullFraction: 0.5,
    flowLPerH: 0.42,
    flowLowLPerH: 0.36,
    flowHighLPerH: 0.48,
    todayL: 4,
    wet: { falling: null, fallingLPerH: null, rainL: 0, lidSnowKg: 0 },
    state: "running",
    lastReadingMs: nowMs - 30_000,
    brim: null,
    outlook: "none",
    keeping: null,
    keepingMissing: null,
    isDatedAhead: false,
    laidOn: null,
    contradiction: null,
    alarms: [],
    ...parts,
  };
}

export function sampleAlarm(parts: Partial<AlarmView> = {}): AlarmView {
  return {
    id: 1,
    kind: "brim",
    subject: "gate",
    severity: "soon",
    raisedAtMs: nowMs - hourMs,
    clearedAtMs: null,
    seenAtMs: null,
    text: "Gate will brim over about 17:40",
    ...parts,
  };
}

export function sampleYard(parts: Partial<YardView> = {}): YardView {
  return {
    nowMs,
    season: { year: 2026, firstReadingMs: nowMs - 240 * hourMs },
    yard: {
      name: "Hollow Lane",
      latitude: null,
      longitude: null,
      altitudeM: null,
      timeZone: "America/New_York",
      units: "metric",
      visitTimes: null,
      tripLeadMin: 30,
      warnProbability: 0.14,
      quietFrom: "21:00",
      quietUntil: "06:30",
      wakeMe: false,
      tapGuideline: "careful",
      holeZone: "proctor",
      simulated: false,
      clockSpeed: 1,
      pausedUntilMs: null,
    },
    boards: [],
    buckets: [sampleBucket()],
    vessels: [],
    alarms: [],
    doNow: { sentence: "", parts: [] },
    ...parts,
  };
}

export function samplePage(parts: Partial<PageFrame> = {}): PageFrame {
  return {
    yard: sampleYard(),
    nowMs,
    units: "metric",
    timeZone: "America/New_York",
    live: true,
    mayChange: true,
    refresh: () => Promise.resolve(),
    ...parts,
  };
}

export function sampleCurve(parts: Partial<Curve> = {}): Curve {
  return {
    stepMs: hourMs,
    atMs: [0, 1, 2, 3].map((index) => nowMs + index * hourMs),
    massKg: [2, 3, null, 5],
    volumeL: [1, 2, null, 4],
    flowLPerH: [0.1, 0.2, null, 0.4],
    lowLPerH: [0.05, 0.1, null, 0.3],
    highLPerH: [0.15, 0.3, null, 0.5],
    airC: [-2, 2, 4, -4],
    events: [],
    ...parts,
  };
}
