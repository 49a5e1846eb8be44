// What the coming days may bring from one tap.
//
// Published: one gathering from one tap, median 1.92 kg, quartiles 0.63 and 4.10, largest 30.1 (US Geological Survey,
// n = 9,296). A simulated prior is held to the same order, not to the figures: gatherings are not days.
import { expect, it } from "vitest";
import { startBrimMemory } from "../../../../server/domain/brim/memory.ts";
import { startParticles } from "../../../../server/domain/brim/particles.ts";
import { createDraws } from "../../../../server/domain/brim/random.ts";
import { comingDays } from "../../../../server/domain/tapping/coming-days.ts";
import { litresAhead, type TaughtTree } from "../../../../server/domain/tapping/litres-ahead.ts";
import { daysOf, outlookOf, startMs, timeZone } from "./fixtures.ts";

function ahead(days: { lowC: number; highC: number }[], trees: TaughtTree[] = []) {
  const outlook = outlookOf(days);
  const coming = comingDays(outlook, { nowMs: startMs, timeZone });
  return litresAhead({ fromMs: startMs, outlook, days: coming, trees });
}

/** A tree that gives as one nobody knows, learnt enough to lend. */
function taughtTree(taps: number): TaughtTree {
  const trees = startParticles(-5, createDraws(7));
  return {
    memory: { ...startBrimMemory(), atMs: startMs, airC: -5, trees, learntSlots: 500 },
    taps,
  };
}

it("freeze and thaw bring litres of the order that taps are known to give", () => {
  const { litres, taughtTrees } = ahead(daysOf(5, -6, 7));
  expect(taughtTrees).toBe(0);
  for (const day of litres.slice(1, 4)) {
    expect(day?.middleL).toBeGreaterThan(0.63);
    expect(day?.middleL).toBeLessThan(4.1);
    expect(day?.highL).toBeLessThan(30.1);
    expect(day?.lowL).toBeLessThanOrEqual(day?.middleL ?? 0);
    expect(day?.highL).toBeGreaterThanOrEqual(day?.middleL ?? 0);
  }
});

it("a frozen week brings next to nothing, and a warm one dries up", () => {
  const frozen = ahead(daysOf(4, -16, -8)).litres;
  expect(frozen[1]?.highL).toBeLessThan(0.3);
  const warm = ahead([...daysOf(1, -6, 7), ...daysOf(5, 6, 14)]).litres;
  expect(warm[5]?.middleL).toBeLessThan((warm[1]?.middleL ?? 0) / 4);
});

it("trees that have taught stand in for those nobody knows, tap by tap", () => {
  const one = ahead(daysOf(4, -6, 7), [taughtTree(1)]);
  const two = ahead(daysOf(4, -6, 7), [taughtTree(2)]);
  expect(one.taughtTrees).toBe(1);
  const ratio = (one.litres[2]?.middleL ?? 0) / (two.litres[2]?.middleL ?? 1);
  expect(ratio).toBeGreaterThan(1.7);
  expect(ratio).toBeLessThan(2.3);
});

it("trees that taught nothing yet lend nothing, and a day cut short has no figure", () => {
  const fresh = { memory: startBrimMemory(), taps: 1 };
  expect(ahead(daysOf(2, -6, 7), [fresh]).taughtTrees).toBe(0);
  const outlook = outlookOf(daysOf(2, -6, 7)).slice(0, 40);
  const days = comingDays(outlook, { nowMs: startMs, timeZone });
  const { litres } = litresAhead({ fromMs: startMs, outlook, days, trees: [] });
  expect(litres[0]).not.toBeNull();
  expect(litres.at(-1)).toBeNull();
});

it("the same outlook gives the same answer", () => {
  expect(ahead(daysOf(3, -6, 7))).toEqual(ahead(daysOf(3, -6, 7)));
});
