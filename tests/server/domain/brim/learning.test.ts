// What a tree's memory takes for a lesson and what it doesn't, and when it no longer needs the yard's others.
import { describe, expect, it } from "vitest";
import { inflowAhead } from "../../../../server/domain/brim/forecast.ts";
import {
  type BrimMemory,
  learnSlot,
  startBrimMemory,
} from "../../../../server/domain/brim/memory.ts";
import { ownShareOf } from "../../../../server/domain/brim/trees-ahead.ts";
import type { Slot } from "../../../../server/domain/bucket.ts";
import { dayMs, estimateOf, hourMs, livedTree, nowMs, setup, slotOf } from "./fixtures.ts";

const slotMs = 600_000;
const bucket = { source: "gate", capacityG: 10_000 };

function startedAt(atMs: number): BrimMemory {
  return learnSlot(startBrimMemory(), slotOf(atMs, 0, { airC: -3 }), bucket);
}

function learntFrom(changes: Partial<Slot>): number {
  const next = slotOf(nowMs + slotMs, 300, { airC: -3, ...changes });
  return learnSlot(startedAt(nowMs), next, bucket).learntSlots;
}

describe("a tree's memory", () => {
  it("learns from a sure flow into a bucket with room", () => {
    expect(learntFrom({})).toBe(1);
  });

  it("learns nothing from a flow that is off by more than 100 g/h, give or take", () => {
    expect(learntFrom({ lowGPerH: 300 - 170, highGPerH: 300 + 170 })).toBe(0);
    expect(learntFrom({ lowGPerH: 300 - 160, highGPerH: 300 + 160 })).toBe(1);
  });

  it("learns nothing at the rim, nor at one that ice may have lowered", () => {
    expect(learntFrom({ full: true })).toBe(0);
    expect(learntFrom({ netG: 9200 })).toBe(0);
    // Frozen through it brims over at 0.9098 of what it holds, and a cell may show some grams less.
    expect(learntFrom({ netG: 9060 })).toBe(0);
    expect(learntFrom({ netG: 9030 })).toBe(1);
  });

  it("learns nothing from what came after a silence", () => {
    expect(learntFrom({ atMs: nowMs + 3 * slotMs })).toBe(0);
  });

  it("lives through the newest three days of a longer silence alone", () => {
    const treesAfter = (days: number) => {
      // In a thaw the store flutters by chance, so that each step lived through shows.
      const heard = { ...startedAt(nowMs - 3 * dayMs), airC: 3, atMs: nowMs - days * dayMs };
      return learnSlot(heard, slotOf(nowMs, 0, { airC: 3 }), bucket).trees;
    };
    expect(treesAfter(20)).toEqual(treesAfter(3));
    expect(treesAfter(2)).not.toEqual(treesAfter(3));
  });

  it("stands on its own after three days that it learnt from, half of it after half", () => {
    const memory = startBrimMemory();
    expect(
      [0, 216, 432, 4320].map((learntSlots) => ownShareOf({ ...memory, learntSlots })),
    ).toEqual([0, 0.5, 1, 1]);
  });
});

describe("the flow of now", () => {
  it("ends with the frost that shuts the tap, whatever the trees miss of it", () => {
    const past = livedTree(5);
    const outlook = Array.from({ length: 40 }, (_, index) => ({
      atMs: nowMs + (index - 1) * hourMs,
      airC: -13 - Math.cos(index),
    }));
    const members = inflowAhead({
      nowMs,
      source: "gate",
      estimate: estimateOf({ flowGPerH: 600, lowGPerH: 590, highGPerH: 610 }),
      setup,
      past: { ...past, memory: { ...past.memory, airC: -13 } },
      outlook,
    });
    expect(Math.max(...members.map((member) => member[48] ?? 0))).toBeLessThan(50);
  });
});
