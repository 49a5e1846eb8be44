// Each kind of event where it is hardest: while the temperature races, while nobody hears, and at the rim.
import { describe, expect, it } from "vitest";
import { createSimulatedBucket, followed, kinds, setup } from "./simulated-bucket.ts";

type Bucket = ReturnType<typeof createSimulatedBucket>;

const driftGPerK = 1.5;

function away(bucket: Bucket, minutes: number, leftG: number): void {
  bucket.truth.away = true;
  bucket.run(minutes);
  bucket.truth.away = false;
  bucket.truth.netG = leftG;
}

const events: Record<string, (bucket: Bucket) => void> = {
  emptied: (bucket) => away(bucket, 2, 30),
  "poured-off": (bucket) => away(bucket, 2, 1800),
  lifted: (bucket) => away(bucket, 2, bucket.truth.netG),
  "load-added": (bucket) => {
    bucket.truth.heldG = 500;
  },
  "leaned-on": (bucket) => {
    for (const heldG of [1200, 2000, 700]) {
      bucket.truth.heldG = heldG;
      bucket.run(0.5);
    }
    bucket.truth.heldG = 0;
  },
  spike: (bucket) => {
    bucket.truth.heldG = 6000;
    bucket.run(0.5);
    bucket.truth.heldG = 0;
  },
};

describe.each(Object.entries(events))("%s", (kind, does) => {
  it("while the air warms by 12 K in an hour and the cell drifts with it is told as that alone", () => {
    const airC = (hour: number) => -4 + 12 * Math.min(1, Math.max(0, hour - 3));
    const bucket = createSimulatedBucket({ netG: 5000, airC, flowGPerH: () => 250, seed: 3 });
    bucket.run(3.5 * 60);
    does(bucket);
    bucket.run(90);
    let cellC = -4;
    const drifting = bucket.readings.map((one) => {
      cellC += (1 - Math.exp(-30 / 1500)) * ((one.airC ?? 0) - cellC);
      return { ...one, massG: one.massG + driftGPerK * (cellC - 5) };
    });
    const result = followed(drifting);
    expect(kinds(result)).toEqual([kind]);
    const held = bucket.truth.netG + bucket.truth.heldG;
    expect(Math.abs(result.last.netG - held)).toBeLessThan(25);
  });
});

describe.each(["emptied", "poured-off", "load-added"])("%s", (kind) => {
  it("while nobody heard it for half an hour is told once it is heard, with the right mass", () => {
    const bucket = createSimulatedBucket({ netG: 5000, flowGPerH: () => 250, seed: 3 });
    bucket.run(120);
    bucket.run(15, true);
    const leftG = { emptied: 30, "poured-off": 1800, "load-added": 6500 }[kind]!;
    const deltaG = leftG - bucket.truth.netG;
    bucket.truth.netG = leftG;
    bucket.run(15, true);
    bucket.run(30);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual([kind]);
    expect(Math.abs(result.events[0]!.deltaG - deltaG)).toBeLessThan(40);
  });
});

describe("at the rim", () => {
  const brimful = () => {
    const bucket = createSimulatedBucket({ netG: 10_300, flowGPerH: () => 800, seed: 3 });
    bucket.run(120);
    expect(followed(bucket.readings).last.full).toBe(true);
    return bucket;
  };

  it("a bucket that is emptied is told so, and full no more", () => {
    const bucket = brimful();
    away(bucket, 2, 30);
    bucket.run(20);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual(["emptied"]);
    expect(Math.abs(result.events[0]!.deltaG - (30 - setup.capacityG))).toBeLessThan(60);
    expect(result.last.full).toBe(false);
  });

  it("a bucket that is lifted and hung back is full again, and nothing is gathered", () => {
    const bucket = brimful();
    away(bucket, 2, bucket.truth.netG);
    bucket.run(20);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual(["lifted"]);
    expect(result.last.full).toBe(true);
  });

  it("a spike or a hand leaves it full", () => {
    const bucket = brimful();
    events["spike"]!(bucket);
    bucket.run(20);
    events["leaned-on"]!(bucket);
    bucket.run(20);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual(["spike", "leaned-on"]);
    expect(result.last.full).toBe(true);
  });
});

describe("two cells whose leads were swapped", () => {
  it("is a load on one and a pouring off the other, and no sap on either", () => {
    const one = createSimulatedBucket({ netG: 6000, flowGPerH: () => 200, seed: 1 });
    const other = createSimulatedBucket({ netG: 2500, flowGPerH: () => 200, seed: 2 });
    for (const bucket of [one, other]) bucket.run(240);
    const swapped = (mine: Bucket, theirs: Bucket) =>
      mine.readings.map((reading, index) => (index < 240 ? reading : theirs.readings[index]!));
    for (const [mine, theirs, kind] of [
      [one, other, "poured-off"],
      [other, one, "load-added"],
    ] as const) {
      const { events: told, slots } = followed(swapped(mine, theirs));
      expect(told.map((event) => event.kind)).toEqual([kind]);
      expect(Math.abs(Math.abs(told[0]!.deltaG) - 3500)).toBeLessThan(30);
      expect(Math.abs(slots.reduce((sum, { inflowG }) => sum + inflowG, 0) - 800)).toBeLessThan(60);
    }
  });
});
