// The order of the pails and when a brim time is worth a line.
import { expect, it } from "vitest";
import type { BucketView } from "../../shared/wire/api.ts";
import { byUrgency, doesBrimMatter } from "../../web/urgency.ts";
import { hourMs, nowMs, sampleBucket } from "./sample-yard.ts";

function labels(buckets: BucketView[]): string[] {
  return byUrgency(buckets, nowMs).map(({ label }) => label);
}

it("a brimming pail comes before a warned one, that before trouble, then running, then parked", () => {
  expect(
    labels([
      sampleBucket({ label: "parked", state: "parked" }),
      sampleBucket({ label: "running" }),
      sampleBucket({ label: "silent", state: "silent" }),
      sampleBucket({ label: "warned", alarms: ["brim"] }),
      sampleBucket({ label: "brimful", state: "brimful" }),
    ]),
  ).toEqual(["brimful", "warned", "silent", "running", "parked"]);
});

it("among running pails the one that brims first leads, then the fuller", () => {
  const brim = (inH: number) => ({
    probability: 0,
    t10Ms: null,
    t50Ms: nowMs + inH * hourMs,
    t90Ms: null,
  });
  expect(
    labels([
      sampleBucket({ label: "half", fullFraction: 0.5 }),
      sampleBucket({ label: "fuller", fullFraction: 0.7 }),
      sampleBucket({ label: "late", brim: brim(9) }),
      sampleBucket({ label: "early", brim: brim(3) }),
    ]),
  ).toEqual(["early", "late", "fuller", "half"]);
});

it("does not reorder the list it is given", () => {
  const given = [sampleBucket({ state: "parked" }), sampleBucket({ state: "brimful" })];
  byUrgency(given, nowMs);
  expect(given[0]?.state).toBe("parked");
});

it.each([
  { why: "nothing is forecast", brim: null, matters: false },
  { why: "it is far off", brim: { probability: 0.01, t50Ms: nowMs + 30 * hourMs }, matters: false },
  {
    why: "it is due within a day",
    brim: { probability: 0, t50Ms: nowMs + 9 * hourMs },
    matters: true,
  },
  { why: "there is a real chance", brim: { probability: 0.05, t50Ms: null }, matters: true },
])("a brim time matters: $matters, when $why", ({ brim, matters }) => {
  const full = brim === null ? null : { t10Ms: null, t90Ms: null, ...brim };
  expect(doesBrimMatter(sampleBucket({ brim: full }), nowMs)).toBe(matters);
});

it("pails that are far from brimming keep their places while a little sap runs", () => {
  const gate = (fullFraction: number) => sampleBucket({ label: "gate", fullFraction });
  const well = sampleBucket({ label: "well", fullFraction: 0.21 });
  expect(labels([gate(0.2), well])).toEqual(["gate", "well"]);
  expect(labels([gate(0.23), well])).toEqual(["gate", "well"]);
});
