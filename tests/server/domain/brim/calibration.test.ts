// What closed forecasts teach: wider when the truth falls outside, bolder or shyer when the odds were off.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type Calibration,
  type ClosedForecast,
  calibrated,
  calibrationFrom,
  shareBelow,
  toldShares,
  uncalibrated,
} from "../../../../server/domain/brim/calibration.ts";
import { createDraws } from "../../../../server/domain/brim/random.ts";
import { dayMs, nowMs } from "./fixtures.ts";

/** Told a lognormal inflow about 3 kg with `toldSd`; what comes is drawn with `trueSd` and a bias. */
function closedOver(days: number, world: { toldSd: number; trueSd: number; bias?: number }) {
  const draws = createDraws(7);
  const normals = Array.from({ length: 20_000 }, () => draws.normal()).sort((a, b) => a - b);
  return Array.from({ length: days * 8 }, (_, index): ClosedForecast => {
    const middleG = 3000 * Math.exp(0.5 * draws.normal());
    const toldG = toldShares.map(
      (share) => middleG * Math.exp(world.toldSd * normals[Math.floor(share * 20_000)]!),
    );
    const cameG = middleG * Math.exp((world.bias ?? 0) + world.trueSd * draws.normal());
    const atMs = nowMs + (index * dayMs) / 8;
    return { atMs, leadH: 12, toldG, cameG, ranOver: false, capacityG: 10_000 };
  });
}

/** The same in a bucket with room for 3 kg: what came beyond that ran over, and nobody weighed it. */
const inSmallRoom = (closed: ClosedForecast[]) =>
  closed.map((one) => ({
    ...one,
    cameG: Math.min(3000, one.cameG),
    ranOver: one.cameG > 3000,
  }));

const nearOf = (closed: ClosedForecast[]) => calibrationFrom(closed).boldness[0]!;

describe("calibration", () => {
  it("leaves honest forecasts nearly as they are", () => {
    const { shift, slope } = nearOf(closedOver(40, { toldSd: 0.4, trueSd: 0.4 }));
    expect(Math.abs(shift)).toBeLessThan(0.25);
    expect(slope).toBeGreaterThan(0.85);
    expect(slope).toBeLessThan(1.15);
  });

  it("is not made shy by sap that ran over unweighed", () => {
    const whole = closedOver(40, { toldSd: 0.4, trueSd: 0.4 });
    const seen = inSmallRoom(whole);
    const ranOver = seen.filter((one) => one.ranOver).length;
    expect(ranOver / seen.length).toBeGreaterThan(0.4);
    const { shift, slope } = nearOf(seen);
    expect(Math.abs(shift)).toBeLessThan(0.25);
    expect(slope).toBeGreaterThan(0.85);
    const spread = (closed: ClosedForecast[]) => calibrationFrom(closed).pathLogSd;
    expect(Math.abs(spread(seen) - spread(whole))).toBeLessThan(0.1);
    const weighedAlone = nearOf(seen.filter((one) => !one.ranOver));
    expect(weighedAlone.shift).toBeLessThan(-0.5);
  });

  it("speaks up where more ran over than was told", () => {
    const seen = inSmallRoom(closedOver(40, { toldSd: 0.4, trueSd: 0.4, bias: 0.5 }));
    expect(nearOf(seen).shift).toBeGreaterThan(0.2);
  });

  it("widens paths that the truth leaves, and narrows those it stays well within", () => {
    const tooSure = calibrationFrom(closedOver(20, { toldSd: 0.2, trueSd: 0.6 }));
    const tooShy = calibrationFrom(closedOver(20, { toldSd: 0.8, trueSd: 0.2 }));
    expect(tooSure.pathLogSd).toBeGreaterThan(uncalibrated.pathLogSd + 0.2);
    expect(tooShy.pathLogSd).toBeLessThan(uncalibrated.pathLogSd - 0.05);
  });

  it("speaks up where more came than told, and holds back where less did", () => {
    expect(nearOf(closedOver(30, { toldSd: 0.4, trueSd: 0.4, bias: 0.4 })).shift).toBeGreaterThan(
      0.3,
    );
    expect(nearOf(closedOver(30, { toldSd: 0.4, trueSd: 0.4, bias: -0.4 })).shift).toBeLessThan(
      -0.3,
    );
  });

  it("learns no spread from trees that hardly ran", () => {
    const quiet = closedOver(20, { toldSd: 0.2, trueSd: 0.9 }).map((one) => ({
      ...one,
      toldG: one.toldG.map((toldG) => Math.min(90, toldG / 50)),
      cameG: Math.min(90, one.cameG / 50),
    }));
    expect(calibrationFrom(quiet).pathLogSd).toBe(uncalibrated.pathLogSd);
  });

  it("is moved little by the fills of a dozen forecasts, which tell nearly the same", () => {
    const few = closedOver(12, { toldSd: 0.4, trueSd: 0.4, bias: 0.6 }).filter(
      (_, index) => index % 8 === 0 || index === 95,
    );
    expect(nearOf(few).shift).toBeLessThan(0.5);
    expect(nearOf(few).shift).toBeGreaterThan(0);
  });

  it("never moves far, whatever came", () => {
    for (const bias of [-4, 4]) {
      const closed = closedOver(40, { toldSd: 0.1, trueSd: 2, bias });
      const { shift, slope } = nearOf(closed);
      expect(Math.abs(shift)).toBeLessThanOrEqual(0.7);
      expect(slope).toBeGreaterThanOrEqual(0.7);
      expect(slope).toBeLessThanOrEqual(1.3);
      expect(calibrationFrom(closed).pathLogSd).toBeLessThanOrEqual(0.7);
    }
  });

  it("says odds as they are before ten days have closed", () => {
    const { shift, slope } = nearOf(closedOver(9, { toldSd: 0.4, trueSd: 0.4, bias: 1 }));
    expect({ shift, slope }).toEqual({ shift: 0, slope: 1 });
    expect(calibrationFrom([])).toEqual(uncalibrated);
  });

  it("keeps order, 0 and 1", () => {
    const any: Calibration = {
      ...uncalibrated,
      pathLogSd: 0.3,
      boldness: [
        { shift: 0.6, slope: 0.75 },
        { shift: -0.2, slope: 1.2 },
      ],
    };
    expect(calibrated(0, 12, any)).toBe(0);
    expect(calibrated(1, 12, any)).toBe(1);
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(share, share, (one, other) => {
        const [low, high] = one < other ? [one, other] : [other, one];
        for (const leadH of [1, 15, 36]) {
          const least = calibrated(low, leadH, any);
          expect(least).toBeLessThanOrEqual(calibrated(high, leadH, any) + 1e-12);
        }
      }),
    );
  });

  it("goes from one lead's boldness to the other's", () => {
    const any = {
      ...uncalibrated,
      pathLogSd: 0.3,
      boldness: [
        { shift: 0.6, slope: 1 },
        { shift: -0.2, slope: 1 },
      ],
    };
    const logitAt = (leadH: number) => {
      const said = calibrated(0.5, leadH, any);
      return Math.log(said / (1 - said));
    };
    expect([6, 12, 18, 24, 36].map(logitAt).map((value) => Number(value.toFixed(6)))).toEqual([
      0.6, 0.6, 0.2, -0.2, -0.2,
    ]);
  });

  it("places a value between what was told, in the middle of equals", () => {
    expect(shareBelow([0, 0, 10, 20], 0)).toBeCloseTo(0.25, 12);
    expect(shareBelow([0, 0, 10, 20], 15)).toBeCloseTo((2.5 + 0.5) / 4, 12);
    expect(shareBelow([5, 10], 1)).toBeLessThan(0.5);
    expect(shareBelow([5, 10], 99)).toBeGreaterThan(0.5);
  });
});
