// How good the brim forecast without a thermometer is in the simulated yard: against the base rate, and by its own promise.
import { describe, expect, it } from "vitest";
import { createFreezeTree } from "../../../../device/yard/freeze-tree.ts";
import { simulatedPlan } from "../../../../device/yard/plan.ts";
import { createSyntheticWeather } from "../../../../device/yard/synthetic-weather.ts";
import {
  forecastFrom,
  inflowAhead,
  inflowQuantiles,
  overBefore,
} from "../../../../server/domain/brim/forecast.ts";
import { addToHistory, startHistory } from "../../../../server/domain/brim/history.ts";
import { estimateOf, hourMs, setup, slotOf, unheardAir } from "./fixtures.ts";

const startMs = Date.parse("2026-03-01T00:00:00Z");
const slotMs = 600_000;
const slotsPerDay = 144;
const days = 20;
const aheadSlots = 216;

/** What each tree of the plan really gives in each ten minutes, g/h. */
function trueFlows(seed: number): Float64Array[] {
  const weather = createSyntheticWeather({ seed, startMs, wallOffsetMs: 0 });
  const trees = simulatedPlan.map(({ vigourL, taps }, place) =>
    createFreezeTree({ seed: seed * 100 + place, vigourL, taps }),
  );
  const flows = trees.map(() => new Float64Array(days * slotsPerDay));
  for (let slot = 0; slot < days * slotsPerDay; slot += 1) {
    const now = weather.at(startMs + slot * slotMs);
    const hourOfDay = (slot % slotsPerDay) / 6;
    trees.forEach((tree, place) => {
      flows[place]![slot] = tree.step({
        weather: now,
        hourOfDay,
        stepH: 1 / 6,
        seasonDay: slot / slotsPerDay,
      });
    });
  }
  return flows;
}

type Scored = { leadH: number; probability: number; over: boolean; held: boolean };

/** Forecasts every third hour from the fifth day on, each against an evenly drawn headroom. */
function scoreTree(flow: Float64Array): Scored[] {
  const scored: Scored[] = [];
  let history = startHistory();
  for (let slot = 0; slot < days * slotsPerDay - aheadSlots; slot += 1) {
    const nowMs = startMs + (slot + 1) * slotMs;
    const flowGPerH = flow[slot]!;
    history = addToHistory(history, slotOf(nowMs, flowGPerH));
    if (slot < 4 * slotsPerDay || slot % 18 !== 5) {
      continue;
    }
    // 0.3-8.3 kg of headroom in steps that share no rhythm with the day.
    const headroomG = 300 + ((slot * 7919) % 8000);
    const estimate = estimateOf({
      netG: setup.capacityG - headroomG,
      flowGPerH,
      lowGPerH: flowGPerH - 30,
      highGPerH: flowGPerH + 30,
    });
    const members = inflowAhead({
      nowMs,
      source: "gate",
      estimate,
      setup,
      past: unheardAir(history),
    });
    const forecast = forecastFrom(members, { nowMs, estimate, setup });
    const inflowL = inflowQuantiles(members);
    for (const leadH of [12, 24]) {
      const ahead = flow.subarray(slot + 1, slot + 1 + leadH * 6);
      const inflowG = ahead.reduce((sum, one) => sum + one / 6, 0);
      const low = inflowL.p10[leadH - 1]! - 0.05;
      const high = inflowL.p90[leadH - 1]! + 0.05;
      scored.push({
        leadH,
        probability: overBefore(forecast, nowMs + leadH * hourMs),
        over: inflowG > headroomG,
        held: inflowG / 1007.9 >= low && inflowG / 1007.9 <= high,
      });
    }
  }
  return scored;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

const scored = [1, 2].flatMap(trueFlows).flatMap(scoreTree);

describe("brim forecast without a thermometer in the simulated yard", () => {
  it.each([12, 24])("beats the base rate at %i h by a Brier skill over 0.4", (leadH) => {
    const those = scored.filter((one) => one.leadH === leadH);
    const base = meanOf(those.map(({ over }) => Number(over)));
    const brier = meanOf(those.map(({ probability, over }) => (probability - Number(over)) ** 2));
    expect(base).toBeGreaterThan(0.05);
    expect(1 - brier / (base * (1 - base))).toBeGreaterThan(0.4);
  });

  it.each([12, 24])("says at %i h what comes true as often, within 0.05 on the mean", (leadH) => {
    const those = scored.filter((one) => one.leadH === leadH);
    let error = 0;
    for (let tenth = 0; tenth < 10; tenth += 1) {
      const bin = those.filter(
        ({ probability }) => Math.min(9, Math.floor(probability * 10)) === tenth,
      );
      const said = meanOf(bin.map(({ probability }) => probability));
      const came = meanOf(bin.map(({ over }) => Number(over)));
      error += (Math.abs(said - came) * bin.length) / those.length;
    }
    expect(error).toBeLessThan(0.05);
  });

  it("holds a day's inflow between its 10 and 90 % in 70 to 92 of a hundred", () => {
    const held = meanOf(scored.filter(({ leadH }) => leadH === 24).map((one) => Number(one.held)));
    expect(held).toBeGreaterThan(0.7);
    expect(held).toBeLessThan(0.92);
  });
});
