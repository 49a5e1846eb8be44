// How wrong outlooks on the air are: as supposed before any came true, then as they were.
import { describe, expect, it } from "vitest";
import {
  airLeadsH,
  airScaleFrom,
  airToldBy,
  asSupposed,
  type ClosedAir,
  scaleAt,
} from "../../../../server/domain/brim/outlook-errors.ts";
import { createDraws } from "../../../../server/domain/brim/random.ts";
import { dayMs, hourMs, nowMs } from "./fixtures.ts";

/** What the paths suppose, written out: models of 0.6 + 0.025 K/h that comes in with 5 h, and a tilt of 0.03 K/h. */
const supposedSdC = (leadH: number) =>
  Math.hypot((0.6 + 0.025 * leadH) * (1 - Math.exp(-leadH / 5)), 0.03 * leadH);

/** Four a day, `times` as wrong as supposed. */
function closedOver(days: number, times: number, endMs = nowMs): ClosedAir[] {
  const draws = createDraws(5);
  return Array.from({ length: days * 4 }, (_, place) =>
    airLeadsH.map((leadH): ClosedAir => {
      const cameC = 2 + times * supposedSdC(leadH) * draws.normal();
      return { atMs: endMs - (place * dayMs) / 4, leadH, toldC: 2, cameC };
    }),
  ).flat();
}

describe("errors of outlooks", () => {
  it("are as supposed before any came true, and while they are as supposed", () => {
    expect(airScaleFrom([], nowMs)).toEqual(asSupposed);
    for (const scale of airScaleFrom(closedOver(30, 1), nowMs)) {
      expect(Math.abs(scale - 1)).toBeLessThan(0.15);
    }
  });

  it("are found where outlooks are twice as wrong, or half", () => {
    for (const scale of airScaleFrom(closedOver(30, 2), nowMs)) {
      expect(scale).toBeGreaterThan(1.5);
      expect(scale).toBeLessThan(2.1);
    }
    for (const scale of airScaleFrom(closedOver(30, 0.5), nowMs)) {
      expect(scale).toBeGreaterThan(0.5);
      expect(scale).toBeLessThan(0.8);
    }
  });

  it("are moved little by a day of them, and forgotten within weeks", () => {
    for (const scale of airScaleFrom(closedOver(1, 3), nowMs)) expect(scale).toBeLessThan(2.5);
    for (const scale of airScaleFrom(closedOver(10, 3, nowMs - 60 * dayMs), nowMs)) {
      expect(scale).toBeLessThan(1.2);
    }
  });

  it("stay within bounds whatever came", () => {
    for (const [times, bound] of [
      [50, 3],
      [0, 0.5],
    ] as const) {
      for (const scale of airScaleFrom(closedOver(90, times), nowMs)) {
        expect(scale).toBeGreaterThanOrEqual(0.5);
        expect(scale).toBeLessThanOrEqual(3);
        expect(Math.abs(scale - bound)).toBeLessThan(0.1);
      }
    }
  });

  it("are told apart by the lead", () => {
    const far = closedOver(30, 2).filter(({ leadH }) => leadH > 20);
    const scale = airScaleFrom(
      [...far, ...closedOver(30, 1).filter(({ leadH }) => leadH < 20)],
      nowMs,
    );
    expect(scaleAt(scale, 3)).toBe(scale[0]);
    expect(scaleAt(scale, 40)).toBe(scale[5]);
    expect(scaleAt(scale, 21)).toBeCloseTo((scale[2]! + scale[3]!) / 2, 12);
    expect(scaleAt(scale, 36)).toBeGreaterThan(scaleAt(scale, 6) + 0.4);
  });
});

describe("what an outlook tells", () => {
  const points = Array.from({ length: 31 }, (_, hour) => ({
    atMs: nowMs + hour * hourMs,
    airC: hour,
  }));

  it("is moved to the air of now as far as that holds, and is nothing beyond its end", () => {
    const told = airToldBy(points, { atMs: nowMs, airC: 2 });
    expect(told.map(({ leadH }) => leadH)).toEqual([6, 12, 18, 24, 30]);
    expect(told[0]!.toldC).toBeCloseTo(6 + 2 * Math.exp(-6 / 5), 9);
    expect(told[3]!.toldC).toBeCloseTo(24 + 2 * Math.exp(-24 / 5), 9);
  });
});
