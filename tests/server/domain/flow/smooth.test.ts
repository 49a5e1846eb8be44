// The smoothed flow against the whole of the past solved at once, and against what was known at the time.
import { describe, expect, it } from "vitest";
import { type Rested, smoothedFlows } from "../../../../server/domain/flow/smooth.ts";
import { createRandom } from "../../../helpers/random.ts";
import { createSimulatedBucket, followed, setup, startMs } from "./simulated-bucket.ts";

const flowNoise = 4000;
const massNoise = 4;

/** Solves a symmetric positive definite system by elimination; rows are changed. */
function solved(rows: number[][], right: number[]): number[] {
  const size = right.length;
  for (let pivot = 0; pivot < size; pivot += 1) {
    for (let row = pivot + 1; row < size; row += 1) {
      const share = rows[row]![pivot]! / rows[pivot]![pivot]!;
      for (let column = pivot; column < size; column += 1) {
        rows[row]![column]! -= share * rows[pivot]![column]!;
      }
      right[row]! -= share * right[pivot]!;
    }
  }
  const x = new Array<number>(size).fill(0);
  for (let row = size - 1; row >= 0; row -= 1) {
    let rest = right[row]!;
    for (let column = row + 1; column < size; column += 1) rest -= rows[row]![column]! * x[column]!;
    x[row] = rest / rows[row]![row]!;
  }
  return x;
}

type Terms = readonly (readonly [place: number, factor: number])[];

/** Adds weight x (one x other) to a system's rows. */
function addPair(rows: number[][], [one, other]: readonly [Terms, Terms], weight: number): void {
  for (const [i, a] of one) for (const [j, b] of other) rows[i]![j]! += weight * a * b;
}

/** Generalised least squares over masses and flows of all times together. */
function flowsAtOnce(weights: readonly Rested[]): number[] {
  const size = 2 * weights.length;
  const rows = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  const right = new Array<number>(size).fill(0);
  const add = (at: Terms, value: number, weight: number) => {
    addPair(rows, [at, at], weight);
    for (const [i, a] of at) right[i]! += weight * a * value;
  };
  add([[0, 1]], weights[0]!.massG, 1 / weights[0]!.varianceG2);
  add([[1, 1]], 0, 1 / 300 ** 2);
  for (let k = 1; k < weights.length; k += 1) {
    const h = (weights[k]!.atMs - weights[k - 1]!.atMs) / 3_600_000;
    const q11 = flowNoise * h;
    const q01 = (q11 * h) / 2;
    const q00 = massNoise * h + (q11 * h * h) / 3;
    const det = q00 * q11 - q01 * q01;
    const mass = [
      [2 * k, 1],
      [2 * k - 2, -1],
      [2 * k - 1, -h],
    ] as const;
    const flow = [
      [2 * k + 1, 1],
      [2 * k - 1, -1],
    ] as const;
    addPair(rows, [mass, mass], q11 / det);
    addPair(rows, [flow, flow], q00 / det);
    addPair(rows, [mass, flow], -q01 / det);
    addPair(rows, [flow, mass], -q01 / det);
    add([[2 * k, 1]], weights[k]!.massG, 1 / weights[k]!.varianceG2);
  }
  const x = solved(rows, right);
  return weights.map((_, k) => x[2 * k + 1]!);
}

describe("smoothed flows", () => {
  it("are those of least squares over all masses and flows at once", () => {
    const random = createRandom(3);
    const weights = Array.from({ length: 40 }, (_, index): Rested => {
      const atMs = startMs + index * 240_000 + (index % 3) * 60_000;
      const massG = 2000 + 20 * index + 30 * Math.sin(index / 6) + 5 * random.gaussian();
      return { atMs, massG, varianceG2: index % 5 === 0 ? 100 : 25 };
    });
    const atOnce = flowsAtOnce(weights);
    for (const [index, { flowGPerH }] of smoothedFlows(weights).entries()) {
      expect(Math.abs(flowGPerH - atOnce[index]!)).toBeLessThan(1e-4);
    }
  });

  it("are at least a third nearer to the truth than what was known at the time, and as sure as they say", () => {
    const flow = (hour: number) => 500 + 400 * Math.sin(hour * 1.2);
    const bucket = createSimulatedBucket({ flowGPerH: flow, netG: 1000, seed: 5 });
    bucket.run(10 * 60);
    const { estimates } = followed(bucket.readings);
    const smoothed = smoothedFlows(
      bucket.readings.map(({ atMs, massG }) => ({ atMs, massG, varianceG2: 25 })),
    );
    const rms = (flows: readonly number[]) => {
      const errors = flows.slice(60, -40).map((one, index) => one - bucket.flows[index + 60]!);
      return Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
    };
    const live = rms(estimates.map(({ flowGPerH }) => flowGPerH));
    expect(rms(smoothed.map(({ flowGPerH }) => flowGPerH))).toBeLessThan(live / 1.5);
    const inside = smoothed.filter(
      ({ flowGPerH, sdGPerH }, index) =>
        Math.abs(flowGPerH - bucket.flows[index]!) < 1.645 * sdGPerH,
    );
    expect(inside.length / smoothed.length).toBeGreaterThan(0.85);
    expect(setup.capacityG).toBeGreaterThan(bucket.truth.netG);
  });

  it("of none are none, of one weight unknown", () => {
    expect(smoothedFlows([])).toEqual([]);
    const [only] = smoothedFlows([{ atMs: startMs, massG: 2000, varianceG2: 25 }]);
    expect(only).toEqual({ flowGPerH: 0, sdGPerH: 300 });
  });
});
