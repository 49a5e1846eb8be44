// The rules that only show at their edges: small spills, long gaps, lifted for long, more than a bucket holds.
import { describe, expect, it } from "vitest";
import { createSimulatedBucket, followed, kinds, setup, startMs } from "./simulated-bucket.ts";

describe("handling at the edges of the rules", () => {
  it("a bucket put back a little lighter was lifted, and the splash is no negative sap", () => {
    const bucket = createSimulatedBucket({ netG: 5000, noiseSdG: 2 });
    bucket.run(60);
    bucket.truth.away = true;
    bucket.run(2);
    bucket.truth.away = false;
    bucket.truth.netG -= 30;
    bucket.run(20);
    const { events, slots } = followed(bucket.readings);
    expect(events.map(({ kind }) => kind)).toEqual(["lifted"]);
    expect(Math.abs(events[0]!.deltaG + 30)).toBeLessThan(8);
    expect(Math.abs(slots.reduce((sum, slot) => sum + slot.inflowG, 0))).toBeLessThan(10);
  });

  it("sap that ran beside a bucket taken away for an hour is not booked", () => {
    const bucket = createSimulatedBucket({ netG: 5000, flowGPerH: () => 900 });
    bucket.run(60);
    bucket.truth.away = true;
    bucket.run(60);
    bucket.truth.away = false;
    bucket.run(60);
    const { events, slots } = followed(bucket.readings);
    expect(events.map(({ kind }) => kind)).toEqual(["lifted"]);
    const inflowG = slots.reduce((sum, slot) => sum + slot.inflowG, 0);
    expect(Math.abs(inflowG - 1750)).toBeLessThan(120);
  });

  it("a drop of 700 g in three hours nobody heard is a pouring, not a negative flow", () => {
    const bucket = createSimulatedBucket({ netG: 5000 });
    bucket.run(60);
    bucket.run(180, true);
    bucket.truth.netG -= 700;
    bucket.run(20);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual(["poured-off"]);
    expect(Math.abs(result.events[0]!.deltaG + 700)).toBeLessThan(60);
  });

  it("taking a little from a bucket with little in it is a pouring, not an emptying", () => {
    const bucket = createSimulatedBucket({ netG: 450 });
    bucket.run(60);
    bucket.truth.away = true;
    bucket.run(1);
    bucket.truth.away = false;
    bucket.truth.netG = 300;
    bucket.run(20);
    expect(kinds(followed(bucket.readings))).toEqual(["poured-off"]);
  });

  it("a little that goes from one weight to the next slid off the lid: nobody is so quick", () => {
    const bucket = createSimulatedBucket({ netG: 5000 });
    bucket.run(60);
    bucket.truth.heldG = -180;
    bucket.run(20);
    const { events, slots } = followed(bucket.readings);
    expect(events.map(({ kind }) => kind)).toEqual(["load-off"]);
    expect(Math.abs(events[0]!.deltaG + 180)).toBeLessThan(15);
    expect(Math.abs(slots.reduce((sum, slot) => sum + slot.inflowG, 0))).toBeLessThan(10);
  });

  it("sap that rises to 1500 g/h within ten minutes is sap, step by step as it looks", () => {
    const begin = (seed: number) => {
      const bucket = createSimulatedBucket({
        seed,
        flowGPerH: (hour) => Math.min(1500, Math.max(0, 9000 * (hour - 3))),
      });
      bucket.run(5 * 60);
      return followed(bucket.readings);
    };
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const { events, last } = begin(seed);
      expect(events).toEqual([]);
      expect(Math.abs(last.netG - 4875)).toBeLessThan(15);
    }
  });

  it("more than a bucket can hold is no load, however long it stays, and is doubted", () => {
    const bucket = createSimulatedBucket({ netG: 9000 });
    bucket.run(60);
    bucket.truth.heldG = 12_000;
    bucket.run(30);
    const result = followed(bucket.readings);
    expect(result.events).toEqual([]);
    expect(result.last.doubt).toBe("the weight does not come to rest");
    expect(Math.abs(result.last.netG - 9000)).toBeLessThan(50);
  });

  it("one weight of a bare cell is a lift, one of a failing amplifier a spike, a small one nothing", () => {
    const bucket = createSimulatedBucket({ netG: 4000 });
    bucket.run(60);
    for (const heldG of [-4700, -9000, 60]) {
      bucket.truth.heldG = heldG;
      bucket.run(0.5);
      bucket.truth.heldG = 0;
      bucket.run(20);
    }
    expect(kinds(followed(bucket.readings))).toEqual(["lifted", "spike"]);
  });

  it("a bucket unheard for a day after its first reading starts anew", () => {
    const bucket = createSimulatedBucket({ netG: 4000 });
    bucket.run(20 * 60, true);
    bucket.truth.netG = 100;
    bucket.run(20);
    const { events, last } = followed(bucket.readings);
    expect(events).toEqual([]);
    expect(Math.abs(last.netG - 100)).toBeLessThan(10);
  });
});

describe("a bucket at its rim", () => {
  it("weighed every ten minutes gives no false event either", () => {
    const bucket = createSimulatedBucket({ netG: 6000, stepS: 600, flowGPerH: () => 1000 });
    bucket.run(600);
    const result = followed(bucket.readings);
    expect(result.events).toEqual([]);
    expect(result.last.full).toBe(true);
    expect(Math.abs(result.last.netG - setup.capacityG)).toBeLessThan(30);
  });

  it("is full no more once it is known to hold more", () => {
    const bucket = createSimulatedBucket({ netG: 10_970 });
    bucket.run(30);
    const larger = { ...setup, capacityG: 13_000 };
    expect(followed(bucket.readings).last.full).toBe(true);
    expect(followed(bucket.readings, larger).last.full).toBe(false);
  });
});

describe("a cell that drifts behind the air by 25 minutes, 4 g/K", () => {
  it("is seen through when the air is known, better than when it is not", () => {
    const airC = (hour: number) => (Math.floor(hour / 3) % 2 === 0 ? -4 : 8);
    const bucket = createSimulatedBucket({ netG: 4000, airC });
    bucket.run(72 * 60);
    let cellC = -4;
    const drifting = bucket.readings.map((one) => {
      cellC += (1 - Math.exp(-30 / 1500)) * ((one.airC ?? 0) - cellC);
      return { ...one, massG: one.massG + 4 * (cellC - 5) };
    });
    const blind = drifting.map(({ atMs, massG }) => ({ atMs, massG }));
    const p95 = (readings: typeof blind) => {
      const flows = followed(readings)
        .estimates.filter(({ atMs }) => atMs > startMs + 48 * 3_600_000)
        .map(({ flowGPerH }) => flowGPerH)
        .sort((one, other) => one - other);
      return flows[Math.floor(flows.length * 0.95)]!;
    };
    expect(p95(drifting)).toBeLessThan(25);
    expect(p95(blind)).toBeGreaterThan(2 * p95(drifting));
  });
});
