// Readings and records that are wrong: each is told, and none becomes a silent wrong figure.
import { describe, expect, it } from "vitest";
import type { BucketReading } from "../../../../server/domain/bucket.ts";
import { contradictionOf } from "../../../../server/domain/flow/contradiction.ts";
import { startRimWatch } from "../../../../server/domain/flow/lower-rim.ts";
import { createSimulatedBucket, followed, kinds, setup } from "./simulated-bucket.ts";

const dayMs = 86_400_000;
const changesMass = ["load-added", "emptied", "poured-off"];

function saidOf(readings: readonly BucketReading[], record = setup) {
  const seen = { rim: startRimWatch(), massG: readings.at(-1)?.massG ?? null };
  return contradictionOf(followed(readings, record).last, record, seen);
}

function inflowG(readings: readonly BucketReading[]): number {
  return followed(readings).slots.reduce((sum, slot) => sum + slot.inflowG, 0);
}

describe("readings out of order and doubled", () => {
  it("are passed over: what is left is what they give in order", () => {
    const bucket = createSimulatedBucket({ flowGPerH: () => 300 });
    bucket.run(120);
    const tangled = bucket.readings.flatMap((one, index) =>
      index > 20 && index % 7 === 0 ? [one, bucket.readings[index - 5]!, one] : [one],
    );
    const booked = (readings: readonly BucketReading[]) =>
      followed(readings).slots.map(({ atMs, netG, inflowG: sapG }) => [atMs, netG, sapG]);
    expect(followed(tangled).last).toEqual(followed(bucket.readings).last);
    expect(booked(tangled)).toEqual(booked(bucket.readings));
  });
});

describe("a clock that jumps", () => {
  it("a day ahead and back again is a gap, then a drop that is told, and no sap of its own", () => {
    const bucket = createSimulatedBucket({ netG: 4000, flowGPerH: () => 200 });
    bucket.run(600);
    const jumped = bucket.readings.map((one, index) =>
      index > 600 && index < 700 ? { ...one, atMs: one.atMs + dayMs } : one,
    );
    // Sorted by their times, as the store gives them.
    const sorted = [...jumped].sort((one, other) => one.atMs - other.atMs);
    const result = followed(sorted);
    expect(kinds(result).filter((kind) => changesMass.includes(kind))).toEqual(["poured-off"]);
    expect(Math.abs(result.last.netG - (4000 + 200 * (699 / 120)))).toBeLessThan(30);
    // All that ran but for the 50 minutes that were told twice: once as a gap, once a day later.
    expect(Math.abs(inflowG(sorted) - (2000 + 200 * (98 / 120)))).toBeLessThan(60);
  });

  it("a day back, among the readings of that day, is no handling and no sap", () => {
    const day = createSimulatedBucket({ netG: 2000, flowGPerH: () => 100 });
    day.run(30 * 60);
    const stray = day.readings
      .slice(-120)
      .map((one) => ({ ...one, atMs: one.atMs - dayMs + 7000 }));
    const sorted = [...day.readings, ...stray].sort((one, other) => one.atMs - other.atMs);
    const result = followed(sorted);
    expect(kinds(result).filter((kind) => changesMass.includes(kind))).toEqual([]);
    expect(Math.abs(inflowG(sorted) - 3000)).toBeLessThan(60);
    expect(result.estimates.some(({ doubt }) => doubt === "the weight does not come to rest")).toBe(
      true,
    );
  });
});

describe("a record that the readings contradict", () => {
  const bucket = createSimulatedBucket({ netG: 5000 });
  bucket.run(60);
  const said = (emptyG: number, capacityG: number) => {
    const record = { emptyG, capacityG };
    return saidOf(bucket.readings, record);
  };

  it("an empty weight 6 kg too great makes the bucket lighter than empty, and that is told", () => {
    expect(said(6700, 11_000)).toBe("lighter-than-empty");
  });

  it("a capacity of half of what is in it is told", () => {
    expect(said(700, 2500)).toBe("more-than-it-holds");
  });

  it("a record that fits is not doubted, nor one within 100 g", () => {
    expect(said(700, 11_000)).toBeUndefined();
    expect(said(700, 5000)).toBeUndefined();
    const emptied = createSimulatedBucket({ netG: 0 });
    emptied.run(60);
    const record = { ...setup, emptyG: setup.emptyG + 100 };
    expect(saidOf(emptied.readings, record)).toBeUndefined();
  });

  it("an empty weight so great that the pail is taken for lifted off is told too", () => {
    const pail = createSimulatedBucket({ netG: 600 });
    pail.run(60);
    const record = { ...setup, emptyG: 5000 };
    expect(followed(pail.readings, record).last.away).toBe(true);
    expect(saidOf(pail.readings, record)).toBe("lighter-than-empty");
  });

  it("a bucket that is off its cell contradicts nothing", () => {
    const away = createSimulatedBucket({ netG: 5000 });
    away.run(60);
    away.truth.away = true;
    away.run(5);
    expect(saidOf(away.readings)).toBeUndefined();
  });
});

describe("a cell swapped for another", () => {
  it("is a jump that is told as a load, never booked as sap", () => {
    const bucket = createSimulatedBucket({ netG: 3000, flowGPerH: () => 150 });
    bucket.run(120);
    bucket.truth.heldG = 2400;
    bucket.run(120);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual(["load-added"]);
    expect(Math.abs(inflowG(bucket.readings) - 600)).toBeLessThan(50);
  });
});
