// Small curves: gaps stay gaps and all share one scale.
import { expect, it } from "vitest";
import { sharedTop, smallPaths } from "../../../web/charts/small-curve.tsx";

const span = { times: [0, 1, 2, 3, 4], fromMs: 0, toMs: 4, top: 1 };

it("a gap parts the line", () => {
  expect(smallPaths({ ...span, flow: [0, 1, null, 1, 0] })).toEqual([
    "M0.0 56.0L50.0 2.0",
    "M150.0 2.0L200.0 56.0",
  ]);
});

it("a single reading between gaps draws no line", () => {
  expect(smallPaths({ ...span, flow: [null, 1, null, null, 0] })).toEqual([]);
});

it("the scale is the highest flow of all, and never finer than a trickle", () => {
  expect(sharedTop([{ flow: [0.1, null] }, { flow: [0.7] }])).toBe(0.7);
  expect(sharedTop([{ flow: [0, null] }])).toBe(0.05);
});
