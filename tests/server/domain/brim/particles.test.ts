// The crowd of supposed trees: its start, its weights, its text, and that it finds a tree that is one of its kind.
import { describe, expect, it } from "vitest";
import { inflowAhead } from "../../../../server/domain/brim/forecast.ts";
import { startHistory } from "../../../../server/domain/brim/history.ts";
import { learnSlot, startBrimMemory, strengthOf } from "../../../../server/domain/brim/memory.ts";
import {
  areWorn,
  blankParticle,
  countOf,
  drawPlaces,
  particleCount,
  readParticle,
  startParticles,
  stepParticles,
  weighParticles,
  weightsOf,
} from "../../../../server/domain/brim/particles.ts";
import {
  particlesFromText,
  textFromParticles,
} from "../../../../server/domain/brim/particles-text.ts";
import { createDraws } from "../../../../server/domain/brim/random.ts";
import { renewParticles } from "../../../../server/domain/brim/renew.ts";
import { stepWood } from "../../../../server/domain/brim/wood.ts";
import { estimateOf, setup, slotOf } from "./fixtures.ts";

const start = () => startParticles(-3, createDraws(1));

function medianOf(particles: Float32Array, column: "drainH" | "fullG" | "tauH"): number {
  const one = blankParticle();
  const values = Array.from({ length: countOf(particles) }, (_, place) => {
    readParticle(particles, place, one);
    return one[column];
  });
  return values.sort((a, b) => a - b)[values.length >> 1]!;
}

/** What a tree without chance gives on its seventh day, and what is told of the eighth, alike in weather. */
function foretoldDay(source: string, fullG: number) {
  const tree = { ...blankParticle(), tauH: 2, latentK: 6, drainH: 6, fullG };
  tree.rechargeRate = 1.5;
  tree.spoutC = -1;
  const fromMs = Date.UTC(2026, 2, 1);
  const airAt = (slot: number) => 1 + 6 * Math.cos((((slot % 144) - 84) / 72) * Math.PI);
  let memory = startBrimMemory();
  let dayG = 0;
  for (let slot = 1; slot <= 7 * 144; slot += 1) {
    const airC = airAt(slot);
    const flowGPerH = stepWood(tree, { airC, sunWM2: 0, stepH: 1 / 6 });
    if (slot > 6 * 144) dayG += flowGPerH / 6;
    const heard = slotOf(fromMs + slot * 600_000, flowGPerH, { airC });
    memory = learnSlot(memory, heard, { source, capacityG: 20_000 });
  }
  const nowMs = fromMs + 7 * 86_400_000;
  const outlook = Array.from({ length: 40 }, (_, index) => ({
    atMs: nowMs + (index - 1) * 3_600_000,
    airC: airAt((index + 23) * 6),
  }));
  const past = { memory, history: startHistory() };
  const members = inflowAhead({ nowMs, source, estimate: estimateOf(), setup, past, outlook });
  return { dayG, toldG: members.reduce((sum, member) => sum + member[96]!, 0) / members.length };
}

describe("supposed trees", () => {
  it("start about what is plausible of a tree", () => {
    const particles = start();
    expect(countOf(particles)).toBe(particleCount);
    expect(Math.abs(Math.log(medianOf(particles, "drainH") / 3.2))).toBeLessThan(0.1);
    expect(Math.abs(Math.log(medianOf(particles, "fullG") / 3500))).toBeLessThan(0.1);
  });

  it("come back from their text as they were", () => {
    const particles = start();
    expect(particlesFromText(textFromParticles(particles))).toEqual(particles);
    expect(textFromParticles(particles).length).toBeLessThan(18_000);
    expect(countOf(particlesFromText(""))).toBe(0);
  });

  it("have weights that sum to one, even ones when none has any", () => {
    const particles = start();
    const told = stepParticles(particles, { airC: 4, sunWM2: 0, stepH: 1 / 6 }, createDraws(2));
    weighParticles(particles, told, { seenGPerH: 200, stepH: 1 / 6 });
    expect(weightsOf(particles).reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 9);
    particles.fill(Number.NEGATIVE_INFINITY);
    expect([...weightsOf(particles)].every((weight) => weight === 1 / particleCount)).toBe(true);
  });

  it("are drawn in proportion to their weight", () => {
    expect(drawPlaces(Float64Array.of(0.5, 0.25, 0.25), 4, 0.5)).toEqual([0, 0, 1, 2]);
    expect(drawPlaces(Float64Array.of(0, 1, 0), 3, 0.1)).toEqual([1, 1, 1]);
  });

  it("are renewed once few carry the weight, with mean and spread kept", () => {
    const particles = start();
    expect(areWorn(particles)).toBe(false);
    const renewed = renewParticles(particles, createDraws(5));
    const ratio = medianOf(renewed, "tauH") / medianOf(particles, "tauH");
    expect(Math.abs(Math.log(ratio))).toBeLessThan(0.1);
    for (let place = 0; place < particleCount; place += 1)
      particles[place * 13 + 10] = place < 10 ? 0 : -20;
    expect(areWorn(particles)).toBe(true);
  });

  it.each([1500, 3500, 7000])("foretell the days of a tree of %i g within a week", (fullG) => {
    const sources = ["gate", "hollow", "ridge", "spring"];
    const logs = sources.map((source) => {
      const { toldG, dayG } = foretoldDay(source, fullG);
      return Math.log(toldG / dayG);
    });
    expect(Math.abs(logs.reduce((sum, log) => sum + log, 0) / logs.length)).toBeLessThan(0.25);
  });

  it("are taken for stronger or weaker by their litres, twice or half at most", () => {
    const memory = startBrimMemory();
    expect(strengthOf(memory)).toBe(1);
    expect(strengthOf({ ...memory, seenG: 5000, toldG: 3000 })).toBe(1.5);
    expect(strengthOf({ ...memory, seenG: 50_000, toldG: 3000 })).toBe(2);
    expect(strengthOf({ ...memory, seenG: 0, toldG: 30_000 })).toBe(0.5);
  });
});
