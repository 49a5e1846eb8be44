// A steady flow met cold: how far off each way to tell it is after ten minutes, twenty and an hour.

import { createRandom, subSeed } from "../../../device/yard/random.ts";
import type { BucketReading } from "../../../server/domain/bucket.ts";
import { flowEstimate, startFlow, stepFlow } from "../../../server/domain/flow/flow.ts";
import { type FlowBaseline, flowBaselines, productFilter } from "./flow-baselines.ts";

export const coldStartMinutes = [10, 20, 60] as const;

const rounds = 200;
const flowGPerH = 0.2 * 1007.9;
const scatterG = 5;
const readingMs = 30_000;
const setup = { emptyG: 800, capacityG: 10_000 };
const firstMs = Date.UTC(2026, 2, 1, 12);

export type ColdStart = { name: string; rmseL: number[] };

/** Root mean square error in L/h at 0.2 L/h, 5 g of scatter, a reading every 30 s. */
export function measureColdStart(seed: number): ColdStart[] {
  const all: FlowBaseline[] = [["Brimful", productFilter], ...flowBaselines];
  return all.map(([name, make]) => {
    const squares = coldStartMinutes.map(() => 0);
    for (let round = 0; round < rounds; round += 1) {
      errorsOf(make(), subSeed(seed, "cold", round)).forEach((error, place) => {
        squares[place] = (squares[place] ?? 0) + error * error;
      });
    }
    return { name, rmseL: squares.map((sum) => Math.sqrt(sum / rounds) / 1007.9) };
  });
}

function errorsOf(estimator: ReturnType<FlowBaseline[1]>, seed: number): number[] {
  const random = createRandom(seed);
  const errors: number[] = [];
  let state = startFlow();
  const last = Math.max(...coldStartMinutes) * 60_000;
  for (let sinceMs = 0; sinceMs <= last; sinceMs += readingMs) {
    const massG = 2800 + (flowGPerH * sinceMs) / 3_600_000 + scatterG * random.normal();
    const reading: BucketReading = { atMs: firstMs + sinceMs, massG };
    state = stepFlow(state, reading, setup).state;
    const estimate = flowEstimate(state, setup, reading.atMs);
    const said = estimator.next({ reading, estimate, setup, flowGPerH, isFull: false }) ?? 0;
    if (coldStartMinutes.some((minutes) => minutes * 60_000 === sinceMs)) {
      errors.push(said - flowGPerH);
    }
  }
  return errors;
}
