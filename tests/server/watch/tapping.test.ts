// The days ahead over a real store: what a forecaster sent becomes runs, litres and advice.
import { expect, it } from "vitest";
import { msPerHour } from "../../../shared/units.ts";
import { comingRunsSchema } from "../../../shared/wire/tapping.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, filling, hang, openWatchRig } from "../../helpers/watch-rig.ts";

it("an outlook on record is told as days, without one there is nothing to tell by", () => {
  const { watch, stores } = openWatchRig();
  expect(watch.comingRuns()).toEqual({
    outlook: "none",
    untilMs: null,
    days: [],
    advice: { word: "unknown" },
    taughtTrees: 0,
  });
  stores.forecast.put(
    Array.from({ length: 24 * 7 }, (_, hour) => ({
      atMs: startMs + hour * msPerHour,
      airC: 7 * Math.sin((hour / 12) * Math.PI),
      cloudPercent: null,
    })),
  );
  const runs = comingRunsSchema.parse(watch.comingRuns());
  expect(runs.outlook).toBe("used");
  expect(runs.untilMs).toBe(startMs + (24 * 7 - 1) * msPerHour);
  expect(runs.days.length).toBeGreaterThanOrEqual(7);
  expect(runs.days[2]).toMatchObject({ runs: true });
  expect(runs.days[2]?.perTapL?.middleL).toBeGreaterThan(0.2);
  expect(runs.advice.word).toBe("tap");
});

it("the same forecast tells the same litres at whatever minute of the day it is asked", () => {
  const { watch, stores, clock } = openWatchRig();
  stores.forecast.put(
    Array.from({ length: 24 * 5 }, (_, hour) => ({
      atMs: startMs + hour * msPerHour,
      airC: 7 * Math.sin((hour / 12) * Math.PI),
      cloudPercent: null,
    })),
  );
  const litresNow = () => watch.comingRuns().days.map(({ perTapL }) => perTapL);
  const before = litresNow();
  expect(before.at(-1)).toBeNull();
  for (const laterMs of [1000, 40 * 60_000, 3 * msPerHour]) {
    clock.advance(laterMs);
    expect(litresNow()).toEqual(before);
  }
});

it.each([
  ["impossible", (hour: number) => (hour < 9 ? 80 : 5 + hour / 24)],
  ["one-value", () => 30],
  ["elsewhere", (hour: number) => 40 + 5 * Math.sin((hour / 12) * Math.PI)],
] as const)(
  "an outlook that can't be right (%s) tells no days, and says so",
  async (state, airAt) => {
    const rig = openWatchRig();
    hang(rig, { label: "Gate", cell: "hill/cell-1" });
    const fromMs = startMs - 2 * msPerHour;
    commit(rig, "hill/cell-1", filling({ fromMs, hours: 2, flowGPerH: 100, airC: 5 }));
    await rig.watch.settled();
    rig.stores.forecast.put(
      Array.from({ length: 24 * 3 }, (_, hour) => ({
        atMs: startMs + hour * msPerHour,
        airC: airAt(hour),
        cloudPercent: null,
      })),
    );
    expect(rig.watch.comingRuns()).toMatchObject({ outlook: state, days: [], untilMs: null });
  },
);
