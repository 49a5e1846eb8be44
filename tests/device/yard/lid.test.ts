// Snow on the lids of the simulated yard.
import { expect, it } from "vitest";
import { createLid } from "../../../device/yard/lid.ts";
import { simulate } from "./simulate.ts";

const weather = { airC: -3, windMS: 1, solarWM2: 0, rainMmPerH: 2, pressurePa: 98_500 };

it("gathers below freezing, melts above, and goes with the lid", () => {
  const lid = createLid();
  lid.step(weather, 1);
  expect(lid.snowG()).toBeCloseTo(140, 9);
  lid.step({ ...weather, airC: 2 }, 1.5);
  expect(lid.snowG()).toBeCloseTo(140 / Math.E, 9);
  lid.shed();
  expect(lid.snowG()).toBe(0);
});

it("weighs on the cell and is no sap", () => {
  const snowy: { snowG: number; besidesG: number }[] = [];
  simulate({
    seed: 4,
    days: 12,
    stepMs: 600_000,
    onWindow: (_, { truth }) => {
      if (truth.snowG > 50 && truth.grossG > 0) {
        snowy.push({ snowG: truth.snowG, besidesG: truth.grossG - truth.sapG - truth.snowG });
      }
    },
  });
  expect(snowy.length).toBeGreaterThan(100);
  // What is left is the bucket itself, and now and then somebody who leans on it.
  const empties = snowy.map(({ besidesG }) => besidesG).sort((a, b) => a - b);
  expect(empties[Math.floor(empties.length / 2)]).toBeGreaterThan(500);
  expect(empties[Math.floor(empties.length / 2)]).toBeLessThan(1300);
});
