// Snow on a lid as one bucket's own weights tell it.
import { describe, expect, it } from "vitest";
import type { FlowEstimate, FlowEventKind } from "../../../../server/domain/bucket.ts";
import { type Lid, lidAfter, snowOnLidG, startLid } from "../../../../server/domain/flow/lid.ts";
import { startMs } from "./simulated-bucket.ts";

const hourMs = 3_600_000;

function estimateAt(hour: number): FlowEstimate {
  const flow = { flowGPerH: 0, lowGPerH: 0, highGPerH: 5 };
  const atMs = startMs + hour * hourMs;
  const settled = { away: false, full: false, starting: false, frozen: true };
  return { atMs, netG: 3000, netSdG: 3, ...flow, ...settled };
}

type Next = { hour: number; airC: number; settledG?: number; kind?: FlowEventKind };

function lidThen(lid: Lid, { hour, airC, settledG = 0, kind }: Next) {
  const estimate = estimateAt(hour);
  const span = { atMs: estimate.atMs, untilMs: estimate.atMs, deltaG: -50 };
  const events = kind === undefined ? [] : [{ kind, ...span }];
  return lidAfter(lid, { estimate, events, airC, settledG });
}

describe("snow on a lid", () => {
  it("settles in frost and stays there", () => {
    const { lid, meltedG } = lidThen(lidThen(startLid(), { hour: 0, airC: -5, settledG: 60 }).lid, {
      hour: 1,
      airC: -5,
      settledG: 60,
    });
    expect(lid.snowG).toBe(120);
    expect(meltedG).toBe(0);
    expect(snowOnLidG(lid)).toBe(120);
  });

  it("melts by 13 g for each degree and hour, and no more than there is", () => {
    const { lid } = lidThen(startLid(), { hour: 0, airC: -5, settledG: 60 });
    const melting = lidThen(lid, { hour: 1, airC: 2 });
    expect(melting.meltedG).toBeCloseTo(26, 9);
    expect(melting.lid.snowG).toBeCloseTo(34, 9);
    expect(lidThen(melting.lid, { hour: 2, airC: 9 }).lid.snowG).toBe(0);
    expect(lidThen(melting.lid, { hour: 2, airC: 9 }).meltedG).toBeCloseTo(34, 9);
  });

  it("goes with whoever lifts the bucket, not with a spike or a hand on it", () => {
    const { lid } = lidThen(startLid(), { hour: 0, airC: -5, settledG: 90 });
    for (const kind of ["emptied", "lifted", "load-off", "poured-off"] as const) {
      expect(lidThen(lid, { hour: 1, airC: -5, settledG: 0, kind }).lid.snowG).toBe(0);
    }
    expect(lidThen(lid, { hour: 1, airC: -5, settledG: 0, kind: "spike" }).lid.snowG).toBe(90);
    expect(lidThen(lid, { hour: 1, airC: -5, settledG: 0, kind: "leaned-on" }).lid.snowG).toBe(90);
  });

  it("is not spoken of while a cell's drift over a cold night may be all it is", () => {
    expect(snowOnLidG({ snowG: 35, atMs: startMs })).toBe(0);
    expect(snowOnLidG({ snowG: -200, atMs: startMs })).toBe(0);
  });

  it("less than nothing, as a cell drifts, comes back with the warmth", () => {
    const { lid, meltedG } = lidThen({ snowG: -20, atMs: startMs }, { hour: 1, airC: 1 });
    expect(meltedG).toBeCloseTo(-13, 9);
    expect(lid.snowG).toBeCloseTo(-7, 9);
  });
});
