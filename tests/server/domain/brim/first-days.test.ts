// The first days of a season: nothing is known of a tree yet, and what is told of it has to be as modest as that.
import { describe, expect, it } from "vitest";
import { createFreezeTree } from "../../../../device/yard/freeze-tree.ts";
import { simulatedPlan } from "../../../../device/yard/plan.ts";
import { createSyntheticWeather } from "../../../../device/yard/synthetic-weather.ts";
import {
  airAtStep,
  airStepMs,
  airStepsPerDay,
  startAirPast,
} from "../../../../server/domain/brim/air-past.ts";
import { airPathsAhead } from "../../../../server/domain/brim/air-paths.ts";
import { forecastFrom, inflowAhead, overBefore } from "../../../../server/domain/brim/forecast.ts";
import { startHistory } from "../../../../server/domain/brim/history.ts";
import {
  type BrimMemory,
  learnSlot,
  noonHourFrom,
  startBrimMemory,
  strengthOf,
} from "../../../../server/domain/brim/memory.ts";
import { asSupposed } from "../../../../server/domain/brim/outlook-errors.ts";
import {
  startParticles,
  stepParticles,
  toldByCharged,
} from "../../../../server/domain/brim/particles.ts";
import { createDraws } from "../../../../server/domain/brim/random.ts";
import { gFromVolumeL } from "../../../../shared/sap/density.ts";
import { calibrationErrorOf } from "../../../bench/accuracy/forecast-score.ts";
import { dayMs, estimateOf, hourMs, livedTree, nowMs, slotOf } from "./fixtures.ts";

const slotMs = 600_000;
const startMs = Date.parse("2026-03-01T00:00:00Z");

type Told = { day: number; meanG: number; cameG: number; said: number; came: number };

/** Forecasts every third hour without an outlook, of buckets emptied each evening, from the second day to the tenth. */
function firstDaysOf(seed: number, place: number): Told[] {
  const { vigourL, taps, capacityL } = simulatedPlan[place]!;
  const weather = createSyntheticWeather({ seed, startMs: startMs - 2 * dayMs, wallOffsetMs: 0 });
  const tree = createFreezeTree({ seed: 100 * seed + place, vigourL, taps });
  const capacityG = gFromVolumeL(capacityL);
  const flows: { flowGPerH: number; airC: number }[] = [];
  for (let slot = -288; slot < 11 * 144; slot += 1) {
    const atMs = startMs + slot * slotMs;
    const hourOfDay = ((slot + 288) % 144) / 6;
    const now = weather.at(atMs);
    const seasonDay = Math.max(0, slot / 144);
    const flowGPerH = tree.step({ weather: now, hourOfDay, stepH: 1 / 6, seasonDay });
    if (slot >= 0) flows.push({ flowGPerH, airC: now.airC });
  }
  let memory = startBrimMemory();
  let netG = 0;
  return flows.flatMap(({ flowGPerH, airC }, index): Told[] => {
    const atMs = startMs + (index + 1) * slotMs;
    const localHour = (atMs % dayMs) / hourMs;
    memory = learnSlot(memory, slotOf(atMs, flowGPerH, { airC, localHour }), {
      source: `tree ${place}`,
      capacityG,
    });
    netG = localHour === 18 ? 0 : netG + flowGPerH / 6;
    const ahead = flows.slice(index + 1, index + 145);
    if (index < 144 || index % 18 !== 17 || ahead.length < 144 || netG >= capacityG) return [];
    const cameG = ahead.reduce((sum, one) => sum + one.flowGPerH / 6, 0);
    const setup = { emptyG: 900, capacityG };
    const bounds = { lowGPerH: flowGPerH, highGPerH: flowGPerH };
    const estimate = estimateOf({ netG, flowGPerH, ...bounds });
    const past = { memory, history: startHistory() };
    const members = inflowAhead({ nowMs: atMs, source: `tree ${place}`, estimate, setup, past });
    const meanG = members.reduce((sum, member) => sum + member[96]!, 0) / members.length;
    const forecast = forecastFrom(members, { nowMs: atMs, estimate, setup });
    const said = overBefore(forecast, atMs + dayMs);
    return [{ day: index / 144, meanG, cameG, said, came: Number(cameG >= capacityG - netG) }];
  });
}

const sumOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0);

describe("the first days of a season", () => {
  const told = [905, 906].flatMap((seed) =>
    [0, 1, 3, 5, 6, 10].flatMap((at) => firstDaysOf(seed, at)),
  );
  const early = told.filter(({ day }) => day < 5);

  it("are told within a fifth of what comes, all in all, from the second to the fifth", () => {
    const ratio = sumOf(early.map(({ meanG }) => meanG)) / sumOf(early.map(({ cameG }) => cameG));
    expect(ratio).toBeGreaterThan(1 / 1.2);
    expect(ratio).toBeLessThan(1.2);
  });

  it("are told with chances that come true as often, within 0.08 on the mean", () => {
    expect(told.length).toBeGreaterThan(800);
    expect(sumOf(told.map(({ came }) => came))).toBeGreaterThan(20);
    expect(calibrationErrorOf(told)).toBeLessThan(0.08);
  });
});

describe("a tree's strength", () => {
  const learn = (memory: BrimMemory, slots: number, at: (slot: number) => [number, number]) => {
    let next = memory;
    for (let slot = 0; slot < slots; slot += 1) {
      const atMs = (next.atMs ?? nowMs) + slotMs;
      const [flowGPerH, airC] = at(slot);
      next = learnSlot(next, slotOf(atMs, flowGPerH, { airC }), { source: "gate", capacityG: 2e4 });
    }
    return next;
  };
  const firstRun = learn(startBrimMemory(), 60, () => [600, 4]);

  it("is not told by a run out of a store that nobody saw fill", () => {
    expect(firstRun.learntSlots).toBeGreaterThan(50);
    expect(strengthOf(firstRun)).toBe(1);
  });

  it("is told by the runs after a freeze that was lived through", () => {
    const frozen = learn(firstRun, 144, () => [0, -12]);
    expect(strengthOf(frozen)).toBe(1);
    const thawed = learn(frozen, 60, () => [900, 5]);
    expect(thawed.seenG).toBeGreaterThan(2000);
    expect(thawed.toldG).toBeGreaterThan(500);
    expect(strengthOf(thawed)).not.toBe(1);
  });

  it("stays what it is while no more than noise comes in", () => {
    const frozen = learn(firstRun, 144, () => [0, -12]);
    expect(strengthOf(learn(frozen, 432, (slot) => [slot % 2 === 0 ? 15 : -15, -5]))).toBe(1);
  });

  it("counts by weight those trees alone that have frozen through", () => {
    const draws = createDraws(3);
    const particles = startParticles(3, draws);
    const warm = stepParticles(particles, { airC: 5, sunWM2: 0, stepH: 1 / 6 }, draws);
    expect(toldByCharged(particles, warm)).toEqual({ toldGPerH: 0, share: 0 });
    for (let step = 0; step < 300; step += 1) {
      stepParticles(particles, { airC: -12, sunWM2: 0, stepH: 1 / 6 }, draws);
    }
    const even = new Float64Array(warm.length).fill(250);
    expect(toldByCharged(particles, even).share).toBeGreaterThan(0.9);
    expect(toldByCharged(particles, even).toldGPerH).toBeCloseTo(250, 9);
  });
});

describe("the noon of a yard", () => {
  it("is the clock's until the air has told a day", () => {
    const slot = slotOf(nowMs, 0, { airC: 1, localHour: 7 });
    const first = learnSlot(startBrimMemory(), slot, { source: "gate", capacityG: 1e4 });
    // Seven o'clock at 12 UTC: noon comes at 17 UTC.
    expect(noonHourFrom(first)).toBe(17);
    expect(noonHourFrom({ ...first, clockNoonHour: null })).toBeNull();
    // The lived tree's air is warmest at 14 h UTC.
    const lived = { ...livedTree(3).memory, clockNoonHour: 3 };
    expect(Math.abs((noonHourFrom(lived) ?? 0) - (14 - 3.5))).toBeLessThan(0.2);
  });
});

describe("air ahead without an outlook", () => {
  const pathsFrom = (past = startAirPast(), noonHour: number | null = null, airC = 2) =>
    airPathsAhead({
      fromMs: nowMs,
      airC,
      past,
      noonHour,
      outlook: [],
      airScale: asSupposed,
      steps: 144,
      stepMs: hourMs / 4,
      count: 4000,
      draws: createDraws(8),
    });
  const spreadAt = (paths: Float64Array[], leadH: number) => {
    const values = paths.map((path) => path[4 * leadH - 1]!);
    const mean = sumOf(values) / values.length;
    return {
      mean,
      sd: Math.sqrt(sumOf(values.map((value) => (value - mean) ** 2)) / values.length),
    };
  };

  it("keeps to the air of now and goes astray by what fronts do when not even the hour is known", () => {
    const { mean, sd } = spreadAt(pathsFrom(), 24);
    expect(mean).toBeCloseTo(2, 0);
    expect(sd / (4 * Math.SQRT2 * Math.sqrt(1 - Math.exp(-48 / 50)))).toBeCloseTo(1, 1);
  });

  it("has a day's wave from the first hour on where the clock tells noon", () => {
    // From 12 UTC on with noon at 20 UTC: coldest at 11.5, warmest at 23.5.
    const paths = pathsFrom(startAirPast(), 20);
    const warmest = spreadAt(paths, 12).mean;
    expect(warmest - spreadAt(paths, 24).mean).toBeGreaterThan(8);
    expect(warmest).toBeGreaterThan(10);
  });

  it("leans towards spring as far as it leans on days gone by", () => {
    // Each day like the one before and the air of now like theirs at this hour.
    const { air } = livedTree(9.5).memory;
    const startC = airAtStep(air, Math.floor(nowMs / airStepMs) - airStepsPerDay)!;
    const paths = pathsFrom(air, 10, startC);
    const then = (leadH: number) =>
      airAtStep(air, Math.floor((nowMs + leadH * hourMs) / airStepMs) - 2 * airStepsPerDay)!;
    const warmer = (leadH: number) => spreadAt(paths, leadH).mean - then(leadH);
    // At the day's warmest, where it changes least: 0.2 K for each of one to nine days, as what is known of now fades
    // with 30 h.
    const gone = (leadH: number) => 0.2 * 5 * (1 - Math.exp(-leadH / 30));
    for (const leadH of [2, 26]) expect(Math.abs(warmer(leadH) - gone(leadH))).toBeLessThan(0.15);
  });

  it("goes less far astray the more days there are to draw from", () => {
    const few = spreadAt(pathsFrom(livedTree(2.2).memory.air), 12).sd;
    const many = spreadAt(pathsFrom(livedTree(9.5).memory.air), 12).sd;
    expect(few / many).toBeGreaterThan(1.3);
    // Nine days in a row tell as much of the fronts as nine tanh(12/50) drawn by lot.
    const sd = spreadAt(pathsFrom(livedTree(9.5).memory.air), 36).sd;
    const told = 4 * Math.sqrt((2 / (9 * Math.tanh(12 / 50))) * (1 - Math.exp(-72 / 50)));
    expect(Math.abs(sd / told - 1)).toBeLessThan(0.15);
  });
});
