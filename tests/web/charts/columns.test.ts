// Columns joined on one axis of time, and saved as CSV.
import { expect, it } from "vitest";
import { extremesOf, placeNear, placesWithin, spliced } from "../../../web/charts/columns.ts";
import { clockTable, sharedTop } from "../../../web/charts/compare-table.ts";
import { curveCsv } from "../../../web/charts/curve-csv.ts";
import { lineManners, mannersOf, pickedWith } from "../../../web/charts/line-manners.ts";
import { eventsOf, yearLaterMs } from "../../../web/charts/tree-table.ts";
import { nowMs, sampleCurve } from "../sample-yard.ts";

it("a fine stretch takes the place of what lies within it, gaps and all", () => {
  const whole = { atMs: [0, 10, 20, 30, 40], flow: [1, 2, null, 4, 5] };
  const stretch = { atMs: [15, 18, 21], flow: [7, null, 8] };
  expect(spliced(["flow"], whole, stretch)).toEqual({
    atMs: [0, 10, 15, 18, 21, 30, 40],
    flow: [1, 2, 7, null, 8, 4, 5],
  });
  expect(spliced(["flow"], undefined, stretch)).toBe(stretch);
});

it("an instant is read at the place nearest to it", () => {
  const at = [0, 10, 20];
  expect([-5, 4, 6, 20, 99].map((instant) => placeNear(at, instant))).toEqual([0, 0, 1, 2, 2]);
  expect(placeNear(at, null)).toBeUndefined();
  expect(placeNear([], 5)).toBeUndefined();
});

it("least and most are of what is known within the span", () => {
  const places = placesWithin([0, 10, 20, 30], { fromMs: 5, toMs: 25 });
  expect(places).toEqual({ first: 1, last: 2 });
  expect(extremesOf([9, null, 3, 9], places)).toEqual({ low: 3, high: 3 });
  expect(extremesOf([9, null, null, 9], places)).toBeUndefined();
  expect(placesWithin([0, 10], { fromMs: 20, toMs: 30 })).toBeUndefined();
});

it("all trees share the scale of the highest flow in sight, never finer than a trickle", () => {
  const trees = [
    { treeId: "atMs", label: "A", flowLPerH: [0.2, 0.9] },
    { treeId: "air", label: "B", flowLPerH: [null, 0.1] },
  ];
  const table = clockTable(undefined, { stepMs: 10, atMs: [10, 20], airC: [1, 2], trees });
  expect(sharedTop(table, { fromMs: 0, toMs: 20 })).toBe(0.9);
  expect(sharedTop(table, { fromMs: 0, toMs: 10 })).toBe(0.2);
  expect(sharedTop(table, { fromMs: 30, toMs: 40 })).toBe(0.05);
  expect([...table.flowLPerH.keys()]).toEqual(["atMs", "air"]);
  expect(table.airC).toEqual([1, 2]);
});

it("CSV leaves missing values empty, keeps names apart and tells time twice", () => {
  const text = curveCsv({
    atMs: [nowMs - 60_000, nowMs, nowMs + 60_000],
    span: { fromMs: nowMs, toMs: nowMs + 60_000 },
    timeZone: "America/New_York",
    columns: [
      { head: 'the "big", one L/h', values: [1, 0.5, null], decimals: 3 },
      { head: "=SUM(A1) L/h", values: [1, -2, 3], decimals: 1 },
    ],
  });
  expect(text.split("\r\n")).toEqual([
    `time UTC,time America/New_York,"the ""big"", one L/h",'=SUM(A1) L/h`,
    "2026-03-11T19:40:00.000Z,2026-03-11 15:40,0.500,-2.0",
    "2026-03-11T19:41:00.000Z,2026-03-11 15:41,,3.0",
    "",
  ]);
});

it("CSV of the hours after a thaw tells hours", () => {
  const columns = [{ head: "Gate L/h", values: [0.25], decimals: 2 }];
  const span = { fromMs: -3_600_000, toMs: 0 };
  const text = curveCsv({ atMs: [-1_800_000], span, timeZone: null, columns });
  expect(text).toBe("hours since the thaw,Gate L/h\r\n-0.50,0.25\r\n");
});

it("a year back is the same day of the calendar, also across a leap day", () => {
  const day = 86_400_000;
  expect(yearLaterMs(nowMs, "America/New_York")).toBe(365 * day);
  expect(yearLaterMs(Date.UTC(2028, 2, 11, 19), "UTC")).toBe(366 * day);
  expect(yearLaterMs(Date.UTC(2028, 1, 29, 12), "UTC")).toBe(366 * day);
});

it("an event told by both is marked once", () => {
  const event = { atMs: nowMs, untilMs: nowMs, kind: "emptied", massKg: -8 };
  const later = { ...event, atMs: nowMs + 1 };
  const [whole, stretch] = [[later, event], [event]].map((events) => sampleCurve({ events }));
  expect(eventsOf(whole, stretch as NonNullable<typeof stretch>)).toEqual([event, later]);
});

it("each picked tree has a manner of its own, and no more are picked than can be told apart", () => {
  const ids = lineManners.map((_, place) => `tree-${place}`);
  expect(new Set([...mannersOf(ids).values()].map((one) => JSON.stringify(one))).size).toBe(
    lineManners.length,
  );
  expect(pickedWith(ids, "one-more")).toEqual(ids);
  expect(pickedWith(ids, "tree-0")).toEqual(ids.slice(1));
});
