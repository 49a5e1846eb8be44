// What people and weather do to a bucket, each alone and one after another, on a bucket whose truth is known.
import { describe, expect, it } from "vitest";
import { gatheredG } from "../../../../server/domain/flow/events.ts";
import { createSimulatedBucket, followed, kinds, setup, startMs } from "./simulated-bucket.ts";

type Bucket = ReturnType<typeof createSimulatedBucket>;

const seeds = [1, 2, 3, 4, 5];
const sap = { flowGPerH: () => 300, netG: 5000 };

function liftFor(bucket: Bucket, minutes: number, leftG = bucket.truth.netG): void {
  bucket.truth.away = true;
  bucket.run(minutes);
  bucket.truth.away = false;
  bucket.truth.netG = leftG;
}

const handlings: Record<
  string,
  { does: (bucket: Bucket) => void; deltaG: (netG: number) => number }
> = {
  emptied: { does: (bucket) => liftFor(bucket, 2, 20), deltaG: (netG) => 20 - netG },
  "poured-off": { does: (bucket) => liftFor(bucket, 1.5, 1500), deltaG: (netG) => 1500 - netG },
  lifted: { does: (bucket) => liftFor(bucket, 2), deltaG: () => 0 },
  "load-added": {
    does: (bucket) => {
      bucket.truth.netG += 400;
    },
    deltaG: () => 400,
  },
  "leaned-on": {
    does: (bucket) => {
      for (const heldG of [900, 2400, 1500, 300]) {
        bucket.truth.heldG = heldG;
        bucket.run(0.5);
      }
      bucket.truth.heldG = 0;
    },
    deltaG: () => 0,
  },
  spike: {
    does: (bucket) => {
      bucket.truth.heldG = 8000;
      bucket.run(0.5);
      bucket.truth.heldG = 0;
    },
    deltaG: () => 0,
  },
};

describe.each(Object.entries(handlings))("a bucket %s", (kind, { does, deltaG }) => {
  it.each(seeds)("is told as that alone, with the right mass (seed %d)", (seed) => {
    const bucket = createSimulatedBucket({ ...sap, seed });
    bucket.run(60);
    const netG = bucket.truth.netG;
    const atMs = startMs + bucket.truth.hour * 3_600_000;
    does(bucket);
    const untilMs = startMs + bucket.truth.hour * 3_600_000;
    bucket.run(30);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual([kind]);
    const [event] = result.events;
    expect(Math.abs(event!.deltaG - deltaG(netG))).toBeLessThan(15);
    expect(event!.atMs - atMs).toBeGreaterThanOrEqual(0);
    expect(event!.atMs - atMs).toBeLessThanOrEqual(30_000);
    expect(Math.abs(event!.untilMs - untilMs)).toBeLessThanOrEqual(30_000);
    expect(result.last.away).toBe(false);
    expect(Math.abs(result.last.netG - bucket.truth.netG)).toBeLessThan(10);
    expect(Math.abs(result.last.flowGPerH - 300)).toBeLessThan(100);
  });
});

describe("two events back to back", () => {
  const names = Object.keys(handlings);
  const pairs = names.flatMap((first) => names.map((second) => [first, second] as const));

  it.each(pairs)("%s then %s, ten minutes apart, are told in order", (first, second) => {
    const bucket = createSimulatedBucket({ ...sap, netG: 6000, seed: 11 });
    bucket.run(40);
    handlings[first]!.does(bucket);
    bucket.run(10);
    if (second === "emptied" || second === "poured-off") {
      bucket.truth.netG += 4000; // someone poured it back, so that there is something to take
      bucket.run(10);
    }
    handlings[second]!.does(bucket);
    bucket.run(20);
    const result = followed(bucket.readings);
    expect(kinds(result).filter((kind) => kind !== "load-added")).toEqual(
      [first, second].filter((kind) => kind !== "load-added"),
    );
    expect(Math.abs(result.last.netG - bucket.truth.netG)).toBeLessThan(12);
  });
});

describe("what lies on a bucket", () => {
  const loadedFor = (minutes: number, offG = 900) => {
    const bucket = createSimulatedBucket(sap);
    bucket.run(60);
    bucket.truth.heldG = 900;
    bucket.run(minutes);
    bucket.truth.heldG = 900 - offG;
    bucket.run(30);
    return { result: followed(bucket.readings), bucket };
  };

  it("for five minutes without a stir was somebody who leaned on it", () => {
    const { result, bucket } = loadedFor(5);
    expect(kinds(result)).toEqual(["leaned-on"]);
    expect(Math.abs(result.last.netG - bucket.truth.netG)).toBeLessThan(12);
  });

  it("for two hours was a load, and its going is no sap poured off", () => {
    const { result, bucket } = loadedFor(120);
    expect(kinds(result)).toEqual(["load-added", "load-off"]);
    expect(result.events.map(gatheredG)).toEqual([undefined, undefined]);
    expect(Math.abs(result.last.netG - bucket.truth.netG)).toBeLessThan(12);
  });

  it("and another weight that goes than came is sap poured off", () => {
    expect(kinds(loadedFor(120, 2600).result)).toEqual(["load-added", "poured-off"]);
  });

  it("is gone with an emptying: the same weight taken later is sap", () => {
    const bucket = createSimulatedBucket({ ...sap, flowGPerH: () => 900 });
    bucket.run(60);
    bucket.truth.netG += 900;
    bucket.run(30);
    liftFor(bucket, 2, 20);
    bucket.run(90);
    bucket.truth.netG -= 900;
    bucket.run(20);
    expect(kinds(followed(bucket.readings))).toEqual(["load-added", "emptied", "poured-off"]);
  });
});

describe("a bucket off its cell", () => {
  it("is away while it is, not for one stray weight, and keeps the mass it had", () => {
    const bucket = createSimulatedBucket(sap);
    bucket.run(30);
    const netG = bucket.truth.netG;
    bucket.truth.away = true;
    bucket.run(0.5);
    expect(followed(bucket.readings).last.away).toBe(false);
    bucket.run(180);
    const { last, events } = followed(bucket.readings);
    expect(last.away).toBe(true);
    expect(Math.abs(last.netG - netG)).toBeLessThan(10);
    expect(events).toEqual([]);
  });

  it("at the first readings is away, and hanging it up is no event", () => {
    const bucket = createSimulatedBucket({ netG: 0, flowGPerH: () => 200 });
    bucket.truth.away = true;
    bucket.run(20);
    const unhung = followed(bucket.readings.slice(1));
    expect(unhung.last).toMatchObject({ away: true, starting: true, netG: 0, flowGPerH: 0 });
    bucket.truth.away = false;
    bucket.truth.heldG = 3000;
    bucket.run(0.5);
    bucket.truth.heldG = 0;
    bucket.run(60);
    const hung = followed(bucket.readings.slice(1));
    expect(hung.events).toEqual([]);
    expect(hung.last.away).toBe(false);
    expect(Math.abs(hung.last.netG - bucket.truth.netG)).toBeLessThan(10);
    expect(hung.slots.every((slot) => Math.abs(slot.inflowG) < 60)).toBe(true);
  });

  it("for the night comes back as emptied", () => {
    const bucket = createSimulatedBucket({ netG: 6000 });
    bucket.run(60);
    liftFor(bucket, 14 * 60, 0);
    bucket.run(10);
    expect(kinds(followed(bucket.readings))).toEqual(["emptied"]);
  });
});

describe("readings that stay out", () => {
  it("for an hour with the bucket emptied in it are told as emptied", () => {
    const bucket = createSimulatedBucket(sap);
    bucket.run(60);
    bucket.run(30, true);
    const netG = bucket.truth.netG;
    bucket.truth.netG = 20;
    bucket.run(30, true);
    bucket.run(10);
    const result = followed(bucket.readings);
    expect(kinds(result)).toEqual(["emptied"]);
    expect(Math.abs(result.events[0]!.deltaG - (20 - netG))).toBeLessThan(60);
  });

  it("for an hour of steady flow are no event", () => {
    const bucket = createSimulatedBucket(sap);
    bucket.run(60);
    bucket.run(60, true);
    bucket.run(10);
    expect(kinds(followed(bucket.readings))).toEqual([]);
  });

  it("for a day are sap when the bucket is heavier, and an emptying when it is lighter", () => {
    const heavier = createSimulatedBucket({ netG: 1000, flowGPerH: () => 100 });
    heavier.run(60);
    heavier.run(20 * 60, true);
    heavier.run(30);
    const grown = followed(heavier.readings);
    expect(grown.events).toEqual([]);
    expect(Math.abs(grown.last.netG - heavier.truth.netG)).toBeLessThan(10);

    const lighter = createSimulatedBucket({ netG: 7000 });
    lighter.run(60);
    lighter.run(20 * 60, true);
    lighter.truth.netG = 100;
    lighter.run(30);
    const emptied = followed(lighter.readings);
    expect(kinds(emptied)).toEqual(["emptied"]);
    expect(Math.abs(emptied.events[0]!.deltaG + 6900)).toBeLessThan(15);
  });
});

describe("a bucket at its rim", () => {
  it("is full, gives no false event while it spills, and is emptied after", () => {
    const bucket = createSimulatedBucket({ netG: 9000, flowGPerH: () => 1000 });
    bucket.run(100);
    expect(followed(bucket.readings).last.full).toBe(false);
    bucket.run(120);
    const brimful = followed(bucket.readings);
    expect(brimful.events).toEqual([]);
    expect(brimful.last.full).toBe(true);
    expect(Math.abs(brimful.last.netG - setup.capacityG)).toBeLessThan(20);
    liftFor(bucket, 2, 0);
    bucket.run(20);
    const after = followed(bucket.readings);
    expect(kinds(after)).toEqual(["emptied"]);
    expect(after.last.full).toBe(false);
    expect(Math.abs(after.last.flowGPerH - 1000)).toBeLessThan(150);
  });

  it("still shows the flow it had as it fills up, and a wide interval", () => {
    const bucket = createSimulatedBucket({ netG: 9900, flowGPerH: () => 1000 });
    bucket.run(75);
    const { last } = followed(bucket.readings);
    expect(last.full).toBe(true);
    expect(last.flowGPerH).toBeGreaterThan(700);
    expect(last.highGPerH).toBeGreaterThan(1000);
  });
});

describe("sap gathered", () => {
  const span = { atMs: startMs, untilMs: startMs + 60_000 };

  it("is what an emptying or a pouring took", () => {
    expect(gatheredG({ kind: "emptied", ...span, deltaG: -5200 })).toBe(5200);
    expect(gatheredG({ kind: "poured-off", ...span, deltaG: -900 })).toBe(900);
  });

  it("is nothing for a splash or any other event", () => {
    expect(gatheredG({ kind: "poured-off", ...span, deltaG: -60 })).toBeUndefined();
    expect(gatheredG({ kind: "lifted", ...span, deltaG: -200 })).toBeUndefined();
    expect(gatheredG({ kind: "load-added", ...span, deltaG: 400 })).toBeUndefined();
  });
});
