// When a half hour counts as wet, and how much of what came in is then no sap.
import { describe, expect, it } from "vitest";
import type { FlowEstimate } from "../../../../server/domain/bucket.ts";
import {
  type HalfHour,
  wetMassG,
  wetOf,
  withMelting,
  withoutWet,
} from "../../../../server/domain/rain/wet.ts";
import { startMs } from "../../../helpers/store-rig.ts";

const strengths = [0.4, 0.7, 0.9, 1, 1.1, 1.4, 1.6];

function halfHour(parts: Partial<HalfHour> & { sapG?: number; commonG?: number }): HalfHour {
  const { sapG = 0, commonG = 80, ...rest } = parts;
  const catchers = strengths.map((strength) => ({
    strength,
    inflowGPerH: sapG * strength + commonG,
  }));
  return { catchers, controls: [], airC: 4, cloudPercent: undefined, ...rest };
}

describe("a half hour", () => {
  it("in which all buckets win alike is rain in warm air and snow in cold", () => {
    expect(wetOf(halfHour({}))).toEqual({ kind: "rain", gPerH: 80 });
    expect(wetOf(halfHour({ airC: -3 }))).toEqual({ kind: "snow", gPerH: 80 });
  });

  it("in which they win by their trees' strength is dry", () => {
    expect(wetOf(halfHour({ sapG: 600, commonG: 0 }))).toBeUndefined();
  });

  it("with little rain beside much sap is wet only when the forecast had it cloudy", () => {
    const both = { sapG: 150, commonG: 80 };
    expect(wetOf(halfHour(both))).toBeUndefined();
    const told = wetOf(halfHour({ ...both, cloudPercent: 95 }));
    expect(told?.kind).toBe("rain");
    expect(told?.gPerH).toBeCloseTo(80, 9);
  });

  it("under a sky that was forecast clear is dry, whatever the buckets say", () => {
    expect(wetOf(halfHour({ cloudPercent: 20 }))).toBeUndefined();
  });

  it("near freezing, or without a thermometer, is left alone", () => {
    expect(wetOf(halfHour({ airC: 0.2 }))).toBeUndefined();
    expect(wetOf(halfHour({ airC: undefined }))).toBeUndefined();
  });

  it("is told by a control bucket alone, whatever the trees do", () => {
    const controls = [{ inflowGPerH: 30, capacityG: 10_000 }];
    const sapOnly = { sapG: 900, commonG: 0, controls };
    expect(wetOf(halfHour(sapOnly))).toEqual({ kind: "rain", gPerH: 30 });
    const dry = [{ inflowGPerH: 3, capacityG: 10_000 }];
    expect(wetOf(halfHour({ controls: dry }))).toBeUndefined();
  });
});

describe("what of an inflow is no sap", () => {
  const wet = { kind: "rain", gPerH: 60 } as const;
  const like = { capacityG: 10_000, controlCapacityG: undefined };

  it("is half an hour's worth, never more than came in", () => {
    expect(wetMassG(wet, { inflowG: 400, ...like })).toBe(30);
    expect(wetMassG(wet, { inflowG: 12, ...like })).toBe(12);
    expect(wetMassG(wet, { inflowG: -5, ...like })).toBe(0);
  });

  it("grows with the mouth of the bucket beside the control's", () => {
    const double = { inflowG: 400, capacityG: 16_000, controlCapacityG: 2000 };
    expect(wetMassG(wet, double)).toBeCloseTo(120, 9);
  });
});

describe("the flow of the tree alone", () => {
  const estimate: FlowEstimate = {
    atMs: startMs,
    netG: 3000,
    netSdG: 3,
    flowGPerH: 200,
    lowGPerH: 160,
    highGPerH: 240,
    away: false,
    full: false,
    starting: false,
    frozen: false,
  };
  const falling = { kind: "rain", gPerH: 80, untilMs: startMs } as const;

  it("is less what falls, and surer of no more than before", () => {
    const sap = withoutWet(estimate, falling);
    expect(sap).toMatchObject({ flowGPerH: 120, lowGPerH: 80, highGPerH: 200 });
    expect(withoutWet({ ...estimate, flowGPerH: 50, lowGPerH: 20 }, falling).flowGPerH).toBe(0);
  });

  it("is all of it once that is long ago", () => {
    expect(withoutWet({ ...estimate, atMs: startMs + 1 }, falling).flowGPerH).toBe(200);
  });

  it("is less sure while a lid sheds its snow in warm air", () => {
    const thawing = withMelting(estimate, { snowG: 100, airC: 2 });
    expect(thawing).toMatchObject({ flowGPerH: 200, lowGPerH: 110, highGPerH: 290 });
    expect(withMelting(estimate, { snowG: 100, airC: -2 })).toEqual(estimate);
    expect(withMelting(estimate, { snowG: 0, airC: 2 })).toEqual(estimate);
    expect(withMelting(estimate, { snowG: 100, airC: null })).toEqual(estimate);
  });
});
