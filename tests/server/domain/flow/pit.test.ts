// When the truth is the filter's own model, what it foretells of the next weight is neither too bold nor too shy.
//
// Source: M. Rosenblatt, "Remarks on a Multivariate Transformation", Ann. Math. Stat. 23 (1952): the probabilities
// of what came are then evenly spread; the greatest distance is Kolmogorov's, 1.63 / sqrt(n) at one in a hundred.
import { describe, expect, it } from "vitest";
import {
  type Belief,
  innovationOf,
  predicted,
  updated,
} from "../../../../server/domain/flow/kalman.ts";
import { massNoiseG2PerH, noiseOver } from "../../../../server/domain/flow/modes.ts";
import { createRandom } from "../../../helpers/random.ts";

const count = 2000;
const limit = 1.63 / Math.sqrt(count);
const stepH = 30 / 3600;

/** Probabilities that the filter gave to what was weighed or less, of a bucket that lives by its model. */
function probabilities(truth: { scatterG: number; flowNoise: number }, believed: typeof truth) {
  const random = createRandom(12);
  let massG = 3000;
  let flowGPerH = 200;
  let belief: Belief = {
    massG,
    flowGPerH,
    driftGPerK: 0,
    p00: 1,
    p01: 0,
    p02: 0,
    p11: 1,
    p12: 0,
    p22: 0,
  };
  return Array.from({ length: count }, () => {
    const real = noiseOver(stepH, massNoiseG2PerH, truth.flowNoise);
    // Cholesky's factors of the noise of one step give mass and flow their common part.
    const first = random.gaussian();
    const second = random.gaussian();
    const corner = real.q01 / Math.sqrt(real.q00);
    massG += flowGPerH * stepH + Math.sqrt(real.q00) * first;
    flowGPerH += corner * first + Math.sqrt(real.q11 - corner * corner) * second;
    const said = noiseOver(stepH, massNoiseG2PerH, believed.flowNoise);
    belief = predicted(belief, stepH, { ...said, q22: 0 });
    const weighed = massG + truth.scatterG * random.gaussian();
    const weighing = { massG: weighed, leverK: 0, varianceG2: believed.scatterG ** 2 };
    const { differenceG, varianceG2 } = innovationOf(belief, weighing);
    belief = updated(belief, weighing);
    return standardNormal(differenceG / Math.sqrt(varianceG2));
  });
}

function distance(values: readonly number[]): number {
  const sorted = values.toSorted((one, other) => one - other);
  return sorted.reduce(
    (most, value, index) =>
      Math.max(most, Math.abs(value - index / count), Math.abs(value - (index + 1) / count)),
    0,
  );
}

/** By its series (Abramowitz & Stegun 26.2.10); good to 1e-9 for |x| < 6. */
function standardNormal(x: number): number {
  if (Math.abs(x) > 6) return x > 0 ? 1 : 0;
  let term = x;
  let sum = x;
  for (let n = 1; n < 120; n += 1) {
    term *= (-x * x * (2 * n - 1)) / (2 * n * (2 * n + 1));
    sum += term;
  }
  return 0.5 + sum / Math.sqrt(2 * Math.PI);
}

describe("probabilities of the next weight, two thousand of them", () => {
  const running = { scatterG: 5, flowNoise: 40_000 };
  const resting = { scatterG: 5, flowNoise: 36 };

  it("are spread evenly where a tree runs or rests as the filter supposes", () => {
    expect(distance(probabilities(running, running))).toBeLessThan(limit);
    expect(distance(probabilities(resting, resting))).toBeLessThan(limit);
  });

  it("are not where the scatter of the cell is half or double what is supposed", () => {
    expect(distance(probabilities(resting, { ...resting, scatterG: 10 }))).toBeGreaterThan(
      2 * limit,
    );
    expect(distance(probabilities(resting, { ...resting, scatterG: 2.5 }))).toBeGreaterThan(
      2 * limit,
    );
  });

  it("are not where a running tree is taken for one at rest", () => {
    expect(distance(probabilities(running, resting))).toBeGreaterThan(2 * limit);
  });
});
