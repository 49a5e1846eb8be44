// Rain told from sap across buckets: against lines that are known, and against half hours made by a seed.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { median } from "../../../../server/domain/middle.ts";
import { type Catcher, commonInflowOf } from "../../../../server/domain/rain/common-inflow.ts";
import { createRandom } from "../../../helpers/random.ts";

const strengths = [0.4, 0.6, 0.7, 0.9, 1, 1.1, 1.2, 1.5, 1.7];

function catchersOf(sapGPerH: number, commonGPerH: number, strayG: (place: number) => number) {
  return strengths.map((strength, place): Catcher => {
    return { strength, inflowGPerH: sapGPerH * strength + commonGPerH + strayG(place) };
  });
}

describe("what comes into all buckets alike", () => {
  it("is the line's foot where sap goes exactly by strength", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 2000, noNaN: true }),
        fc.double({ min: -50, max: 300, noNaN: true }),
        (sapGPerH, commonGPerH) => {
          const found = commonInflowOf(catchersOf(sapGPerH, commonGPerH, () => 0))!;
          expect(found.commonGPerH).toBeCloseTo(commonGPerH, 6);
          expect(found.sapGPerH).toBeCloseTo(sapGPerH, 6);
          expect(found.sdGPerH).toBeCloseTo(0, 6);
        },
      ),
    );
  });

  it("is told in spite of three buckets in nine that say anything", () => {
    const wrong = (place: number) => (place % 3 === 1 ? 3000 * (place - 3) : 0);
    const { commonGPerH } = commonInflowOf(catchersOf(300, 80, wrong))!;
    expect(Math.abs(commonGPerH - 80)).toBeLessThan(40);
  });

  it("does not hang on the order of the buckets", () => {
    const catchers = catchersOf(200, 40, (place) => 10 * Math.sin(place));
    expect(commonInflowOf(catchers.toReversed())).toEqual(commonInflowOf(catchers));
  });

  it("lies within three standard errors in most half hours, and that is no wide claim", () => {
    const random = createRandom(5);
    const halfHours = Array.from({ length: 400 }, () =>
      commonInflowOf(catchersOf(150, 60, () => 12 * random.gaussian())),
    );
    const within = halfHours.filter((one) => Math.abs(one!.commonGPerH - 60) < 3 * one!.sdGPerH);
    expect(within.length / 400).toBeGreaterThan(0.9);
    expect(median(halfHours.map((one) => one!.sdGPerH))).toBeLessThan(18);
  });

  it("is not told by five buckets, nor by trees all alike", () => {
    expect(commonInflowOf(catchersOf(100, 50, () => 0).slice(0, 5))).toBeUndefined();
    const alike = strengths.map(() => ({ strength: 1, inflowGPerH: 90 }));
    expect(commonInflowOf(alike)).toBeUndefined();
  });

  it("of a thousand buckets is told by some of them", () => {
    const many = Array.from({ length: 1000 }, (_, place): Catcher => {
      const strength = 0.2 + place / 600;
      return { strength, inflowGPerH: 250 * strength + 70 };
    });
    expect(commonInflowOf(many)!.commonGPerH).toBeCloseTo(70, 6);
  });
});
