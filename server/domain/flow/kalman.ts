// A Kalman filter on a cell's mass, the flow into its bucket, and the cell's drift with temperature.
//
// Source: R. E. Kalman, "A New Approach to Linear Filtering and Prediction Problems", J. Basic Eng. 82 (1960).
// The covariance is stored as its six different entries, so it cannot lose its symmetry.

/** Mean and covariance of [mass g, flow g/h, drift g/K]; p01 is the covariance of mass and flow, and so on. */
export type Belief = {
  massG: number;
  flowGPerH: number;
  driftGPerK: number;
  p00: number;
  p01: number;
  p02: number;
  p11: number;
  p12: number;
  p22: number;
};

/** What a step of time adds to the covariance. */
export type ProcessNoise = { q00: number; q01: number; q11: number; q22: number };

/** One weighing: massG = mass + leverK * drift + noise of that variance. */
export type Weighing = { massG: number; leverK: number; varianceG2: number };

/** The belief a step of time later, without a weighing. */
export function predicted(belief: Belief, durationH: number, noise: ProcessNoise): Belief {
  const { p01, p11, p12 } = belief;
  return {
    massG: belief.massG + belief.flowGPerH * durationH,
    flowGPerH: belief.flowGPerH,
    driftGPerK: belief.driftGPerK,
    p00: belief.p00 + durationH * (2 * p01 + durationH * p11) + noise.q00,
    p01: p01 + durationH * p11 + noise.q01,
    p02: belief.p02 + durationH * p12,
    p11: p11 + noise.q11,
    p12,
    p22: belief.p22 + noise.q22,
  };
}

/** Weight above what was expected, and the variance of that difference. */
export function innovationOf(
  belief: Belief,
  weighing: Weighing,
): { differenceG: number; varianceG2: number } {
  const { leverK } = weighing;
  const spread = belief.p00 + leverK * (2 * belief.p02 + leverK * belief.p22);
  return {
    differenceG: weighing.massG - belief.massG - leverK * belief.driftGPerK,
    varianceG2: spread + weighing.varianceG2,
  };
}

/** The belief after a weighing at the same moment. */
export function updated(belief: Belief, weighing: Weighing): Belief {
  const { differenceG, varianceG2 } = innovationOf(belief, weighing);
  const { leverK } = weighing;
  const c0 = belief.p00 + leverK * belief.p02;
  const c1 = belief.p01 + leverK * belief.p12;
  const c2 = belief.p02 + leverK * belief.p22;
  const k0 = c0 / varianceG2;
  const k1 = c1 / varianceG2;
  const k2 = c2 / varianceG2;
  return {
    massG: belief.massG + k0 * differenceG,
    flowGPerH: belief.flowGPerH + k1 * differenceG,
    driftGPerK: belief.driftGPerK + k2 * differenceG,
    p00: belief.p00 - k0 * c0,
    p01: belief.p01 - k0 * c1,
    p02: belief.p02 - k0 * c2,
    p11: belief.p11 - k1 * c1,
    p12: belief.p12 - k1 * c2,
    p22: belief.p22 - k2 * c2,
  };
}

/** The belief after the flow itself was learned from elsewhere, with that variance. */
export function updatedByFlow(belief: Belief, flowGPerH: number, variance: number): Belief {
  const { p01, p11, p12 } = belief;
  const spread = p11 + variance;
  const differenceGPerH = flowGPerH - belief.flowGPerH;
  const k0 = p01 / spread;
  const k1 = p11 / spread;
  const k2 = p12 / spread;
  return {
    massG: belief.massG + k0 * differenceGPerH,
    flowGPerH: belief.flowGPerH + k1 * differenceGPerH,
    driftGPerK: belief.driftGPerK + k2 * differenceGPerH,
    p00: belief.p00 - k0 * p01,
    p01: p01 - k0 * p11,
    p02: belief.p02 - k0 * p12,
    p11: p11 - k1 * p11,
    p12: p12 - k1 * p12,
    p22: belief.p22 - k2 * p12,
  };
}

/** The mass is known from this weighing alone; flow and drift are what they were. */
export function relevelled(belief: Belief, weighing: Weighing): Belief {
  const { leverK } = weighing;
  return {
    massG: weighing.massG - leverK * belief.driftGPerK,
    flowGPerH: belief.flowGPerH,
    driftGPerK: belief.driftGPerK,
    p00: weighing.varianceG2 + leverK * leverK * belief.p22,
    p01: 0 - leverK * belief.p12, // 0, not -0, which JSON would not keep
    p02: 0 - leverK * belief.p22,
    p11: belief.p11,
    p12: belief.p12,
    p22: belief.p22,
  };
}

/** The flow is known from elsewhere: nothing learned of the mass bears on it. */
export function withFlow(belief: Belief, flowGPerH: number, flowVariance: number): Belief {
  return {
    massG: belief.massG,
    flowGPerH,
    driftGPerK: belief.driftGPerK,
    p00: belief.p00,
    p01: 0,
    p02: belief.p02,
    p11: flowVariance,
    p12: 0,
    p22: belief.p22,
  };
}

/** One belief with the mean and covariance of a mixture of two; weights sum to 1. */
export function mixed(one: Belief, other: Belief, otherWeight: number): Belief {
  const weight = 1 - otherWeight;
  const spread = weight * otherWeight;
  const massG = one.massG - other.massG;
  const flowGPerH = one.flowGPerH - other.flowGPerH;
  const driftGPerK = one.driftGPerK - other.driftGPerK;
  return {
    massG: weight * one.massG + otherWeight * other.massG,
    flowGPerH: weight * one.flowGPerH + otherWeight * other.flowGPerH,
    driftGPerK: weight * one.driftGPerK + otherWeight * other.driftGPerK,
    p00: weight * one.p00 + otherWeight * other.p00 + spread * massG * massG,
    p01: weight * one.p01 + otherWeight * other.p01 + spread * massG * flowGPerH,
    p02: weight * one.p02 + otherWeight * other.p02 + spread * massG * driftGPerK,
    p11: weight * one.p11 + otherWeight * other.p11 + spread * flowGPerH * flowGPerH,
    p12: weight * one.p12 + otherWeight * other.p12 + spread * flowGPerH * driftGPerK,
    p22: weight * one.p22 + otherWeight * other.p22 + spread * driftGPerK * driftGPerK,
  };
}
