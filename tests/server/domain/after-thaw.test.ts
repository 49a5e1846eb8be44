// Thaws told from air, and the mean flow after them.
import { expect, it } from "vitest";
import { firstOfDays, meanAfter, thawsOf } from "../../../server/domain/after-thaw.ts";
import { msPerHour } from "../../../shared/units.ts";

const air = (...valuesC: (number | undefined)[]) =>
  valuesC.map((airC, hour) => ({
    atMs: hour * msPerHour,
    ...(airC === undefined ? {} : { airC }),
  }));

it("a thaw is where the air crosses nought after frost, between two readings", () => {
  expect(thawsOf(air(-3, -1, 3, 4))).toEqual([1.25 * msPerHour]);
});

it("air that wavers about nought thaws once, at the crossing that held", () => {
  expect(thawsOf(air(-3, -0.2, 0.2, -0.2, 0.2, 0.6, 0.1, 0.7))).toEqual([3.5 * msPerHour]);
});

it("air that was never in frost does not thaw, nor does frost that goes on", () => {
  expect(thawsOf(air(1, -0.3, 1, 2))).toEqual([]);
  expect(thawsOf(air(-1, -2, -0.1))).toEqual([]);
});

it("a silence of hours tells of no thaw; one reading left out changes nothing", () => {
  expect(thawsOf(air(-3, undefined, undefined, undefined, undefined, 3))).toEqual([]);
  expect(thawsOf(air(-1, undefined, 1))).toEqual([msPerHour]);
});

it("of several thaws of a day the first counts", () => {
  const dayOf = (atMs: number) => String(Math.floor(atMs / (24 * msPerHour)));
  expect(
    firstOfDays(
      [1, 5, 30].map((hour) => hour * msPerHour),
      dayOf,
    ),
  ).toEqual([msPerHour, 30 * msPerHour]);
});

it("the mean after the thaws leaves out what isn't known, and is null when most isn't", () => {
  const flows = [
    { atMs: 10, flowGPerH: 100 },
    { atMs: 20, flowGPerH: null },
    { atMs: 110, flowGPerH: 300 },
    { atMs: 120, flowGPerH: 50 },
    { atMs: 220, flowGPerH: null },
  ];
  const at = { offsetsMs: [0, 10, 500], withinMs: 10 };
  expect(meanAfter(flows, [10, 110], at)).toEqual([200, 50, null]);
  expect(meanAfter(flows, [10, 110, 210], { offsetsMs: [10], withinMs: 10 })).toEqual([null]);
});
