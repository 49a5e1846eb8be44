// The simulated yard: the same from the same seed, every gram accounted for, and plausible as a whole.
import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { massKgFromCounts } from "../../../device/scale/calibration.ts";
import { publicPlan, simulatedPlan } from "../../../device/yard/plan.ts";
import { warmUpMs } from "../../../device/yard/station.ts";
import { createSyntheticWeather } from "../../../device/yard/synthetic-weather.ts";
import { createYard } from "../../../device/yard/yard.ts";
import { simulate, simulationStartMs } from "./simulate.ts";

const hourMs = 3_600_000;

it("gives the same bytes from the same seed, and others from another", () => {
  const digest = (seed: number) => {
    const hash = createHash("sha256");
    simulate({ seed, days: 1, onWindow: (window) => hash.update(JSON.stringify(window)) });
    return hash.digest("hex");
  };
  expect(digest(7)).toBe(digest(7));
  expect(digest(7)).not.toBe(digest(8));
});

it("has the same truth however often the cells are read", () => {
  const often = simulate({ seed: 3, days: 2, stepMs: 30_000 });
  const seldom = simulate({ seed: 3, days: 2, stepMs: 600_000 });
  expect(seldom.yard.totals().inG / often.yard.totals().inG).toBeCloseTo(1, 9);
  expect(seldom.yard.totals().collectedG / often.yard.totals().collectedG).toBeCloseTo(1, 9);
});

it("is taken up days later, as after a restart, and every tree has lived through them all", () => {
  const [seed, days, startMs, wallOffsetMs] = [3, 6, simulationStartMs, 0];
  const weather = createSyntheticWeather({ seed, startMs: startMs - warmUpMs, wallOffsetMs });
  const yard = createYard({ seed, startMs, wallOffsetMs, weather });
  const atMs = startMs + days * 24 * hourMs;
  for (const source of yard.boards.map((board) => yard.sourceOf(board))) {
    for (const { cell } of source.cells) source.windowAt(cell, atMs);
  }
  const { inG } = simulate({ seed, days, stepMs: 600_000 }).yard.totals();
  expect(yard.totals().inG / inG).toBeCloseTo(1, 9);
});

it.each([1, 2, 3])("loses no gram: in = collected + lost + left (seed %i)", (seed) => {
  const { inG, collectedG, lostG, leftG } = simulate({ seed, days: 12 }).yard.totals();
  expect(Math.abs(inG - collectedG - lostG - leftG) / inG).toBeLessThan(1e-9);
  expect(inG).toBeGreaterThan(0);
  expect(collectedG).toBeGreaterThan(0);
});

it("has twelve buckets on two boards of six cells, and tells no secret of the trees", () => {
  const plan = publicPlan();
  expect(plan).toHaveLength(12);
  for (const board of ["hill", "dell"]) {
    const cells = plan.filter((bucket) => bucket.board === board).map(({ cell }) => cell);
    expect(cells).toEqual([1, 2, 3, 4, 5, 6].map((number) => `cell-${number}`));
  }
  expect(new Set(plan.map(({ tree }) => tree)).size).toBe(12);
  expect(JSON.stringify(plan)).not.toContain("vigour");
});

it("weighs nearly nothing while a bucket is off its cell, and its whole weight when it hangs", () => {
  const errorsG: number[] = [];
  const liftedKg: number[] = [];
  simulate({
    seed: 5,
    days: 3,
    stepMs: 10_000,
    onWindow: (window, { calibration, truth }) => {
      const sorted = [...window.counts].sort((a, b) => a - b);
      const massKg = massKgFromCounts(sorted[5]!, calibration);
      if (truth.grossG === 0) liftedKg.push(massKg);
      else errorsG.push(Math.abs(massKg * 1000 - truth.grossG));
    },
  });
  errorsG.sort((a, b) => a - b);
  expect(liftedKg.length).toBeGreaterThan(20);
  for (const massKg of liftedKg) expect(Math.abs(massKg)).toBeLessThan(0.1);
  expect(errorsG[Math.floor(errorsG.length / 2)]).toBeLessThan(25);
  expect(errorsG[Math.floor(errorsG.length * 0.99)]).toBeLessThan(80);
});

describe("ten days of each of eight seeds", () => {
  const runs = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) => simulate({ seed, days: 10, stepMs: 60_000 }));
  const taps = new Map(simulatedPlan.map(({ board, cell, taps }) => [`${board}/${cell}`, taps]));
  const quantile = (values: number[], share: number) =>
    [...values].sort((a, b) => a - b)[Math.floor(share * (values.length - 1))]!;

  it("have several good runs, and brimming buckets now and then", () => {
    for (const { yard, events } of runs) {
      expect(yard.totals().inG / 12 / 10).toBeGreaterThan(1_000);
      expect(yard.totals().inG / 12 / 10).toBeLessThan(6_000);
      expect(events.filter(({ kind }) => kind === "gathered").length).toBeGreaterThan(30);
      const { inG, lostG } = yard.totals();
      expect(lostG / inG).toBeLessThan(0.2);
    }
    const brimming = runs.filter(({ events }) => events.some(({ kind }) => kind === "brimmed"));
    expect(brimming.length).toBeGreaterThanOrEqual(6);
  });

  // Stinson et al. 2019, USGS data release, doi:10.5066/P9H65YCC: sap of one tap in one collection,
  // n = 9,296: quartiles 0.63 and 4.10 kg, median 1.92, largest 30.12 (statistics of the release).
  it("gather amounts like those weighed at real taps", () => {
    const perTapKg = runs.flatMap(({ events }) =>
      events
        .filter(({ kind }) => kind === "gathered")
        .map(({ board, cell, massG }) => massG / 1000 / taps.get(`${board}/${cell}`)!),
    );
    expect(quantile(perTapKg, 0.5)).toBeGreaterThan(0.63);
    expect(quantile(perTapKg, 0.5)).toBeLessThan(4.1);
    expect(quantile(perTapKg, 1)).toBeLessThan(30.12);
  });

  // Kurokawa et al. 2022, Int. J. Biometeorology (abstract): sap starts at 10-11 h on average and
  // stops at 18-20 h; the simulated yard may be an hour off, as gravity taps dribble longer.
  it("run from late morning to evening after a frosty night", () => {
    const runsOfDays = runs.flatMap(({ frostyRuns }) => frostyRuns());
    expect(runsOfDays.length).toBeGreaterThan(200);
    const onsetH = quantile(
      runsOfDays.map(({ fromH }) => fromH),
      0.5,
    );
    const endH = quantile(
      runsOfDays.map(({ toH }) => toH),
      0.5,
    );
    expect(onsetH).toBeGreaterThan(9);
    expect(onsetH).toBeLessThan(12);
    expect(endH).toBeGreaterThan(17);
    expect(endH).toBeLessThan(21);
  });

  it("never run faster than the ceiling of a tap", () => {
    const overCeiling = runs.flatMap(({ readings }) =>
      readings.filter(
        ({ board, cell, flowGPerH }) =>
          flowGPerH > 1.5 * 1008 * (taps.get(`${board}/${cell}`) ?? 0),
      ),
    );
    expect(overCeiling).toEqual([]);
  });

  it("are walked most evenings between five and seven, but not all", () => {
    const rounds = runs.flatMap(({ events }, run) =>
      events
        .filter(({ kind }) => kind === "gathered")
        .map(({ atMs }) => ({
          run,
          wallH: (atMs % (24 * hourMs)) / hourMs,
          day: Math.floor(atMs / 24 / hourMs),
        })),
    );
    const evenings = new Set(rounds.map(({ run, day }) => `${run}/${day}`)).size;
    expect(evenings).toBeGreaterThan(45);
    expect(evenings).toBeLessThan(80);
    for (const { wallH } of rounds) {
      expect(wallH).toBeGreaterThan(17);
      expect(wallH).toBeLessThan(18.5);
    }
  });
});
