// Plain ways to tell flow from weights, measured beside the product's filter on the same readings.
import type { BucketReading } from "../../../server/domain/bucket.ts";
import type { Estimator } from "./flow-score.ts";

const hourMs = 3_600_000;
const minuteMs = 60_000;

export function productFilter(): Estimator {
  return {
    next: ({ estimate }) => (estimate.starting ? undefined : estimate.flowGPerH),
    restart: () => undefined,
  };
}

/** Two weights, `spanMs` apart. */
export function finiteDifference(spanMs: number): Estimator {
  let past: BucketReading[] = [];
  return {
    next({ reading }) {
      past.push(reading);
      while ((past[1]?.atMs ?? Number.POSITIVE_INFINITY) <= reading.atMs - spanMs) past.shift();
      const first = past[0];
      if (first === undefined || first.atMs > reading.atMs - spanMs) return undefined;
      return ((reading.massG - first.massG) / (reading.atMs - first.atMs)) * hourMs;
    },
    restart() {
      past = [];
    },
  };
}

/** Least squares over a window, begun anew after a jump when `resetG` is given. */
export function regression(windowMs: number, resetG?: number): Estimator {
  let past: BucketReading[] = [];
  return {
    next({ reading }) {
      const last = past.at(-1);
      const jump = last === undefined ? 0 : Math.abs(reading.massG - last.massG);
      if (resetG !== undefined && jump > resetG) past = [];
      past.push(reading);
      while ((past[0]?.atMs ?? 0) < reading.atMs - windowMs) past.shift();
      return past.length < 3 ? 0 : slopeGPerH(past);
    },
    restart() {
      past = [];
    },
  };
}

function slopeGPerH(past: readonly BucketReading[]): number {
  const first = past[0]?.atMs ?? 0;
  let sumH = 0;
  let sumG = 0;
  for (const { atMs, massG } of past) {
    sumH += (atMs - first) / hourMs;
    sumG += massG;
  }
  const meanH = sumH / past.length;
  const meanG = sumG / past.length;
  let above = 0;
  let below = 0;
  for (const { atMs, massG } of past) {
    const h = (atMs - first) / hourMs - meanH;
    above += h * (massG - meanG);
    below += h * h;
  }
  return below === 0 ? 0 : above / below;
}

/** Local linear trend with one noise level, the best of a few on undisturbed cells; knows no events. */
export function plainKalman(): Estimator {
  const flowNoise = 2500;
  const massNoise = 4;
  const readingVariance = 25;
  let state:
    | { atMs: number; m: number; q: number; p00: number; p01: number; p11: number }
    | undefined;
  return {
    next({ reading }) {
      if (state === undefined) {
        state = { atMs: reading.atMs, m: reading.massG, q: 0, p00: 400, p01: 0, p11: 90_000 };
        return 0;
      }
      const dt = (reading.atMs - state.atMs) / hourMs;
      const m = state.m + state.q * dt;
      const p00 =
        state.p00 +
        2 * dt * state.p01 +
        dt * dt * state.p11 +
        massNoise * dt +
        (flowNoise * dt ** 3) / 3;
      const p01 = state.p01 + dt * state.p11 + (flowNoise * dt * dt) / 2;
      const p11 = state.p11 + flowNoise * dt;
      const sum = p00 + readingVariance;
      const miss = reading.massG - m;
      state = {
        atMs: reading.atMs,
        m: m + (p00 / sum) * miss,
        q: state.q + (p01 / sum) * miss,
        p00: p00 - (p00 * p00) / sum,
        p01: p01 - (p00 * p01) / sum,
        p11: p11 - (p01 * p01) / sum,
      };
      return state.q;
    },
    restart() {
      state = undefined;
    },
  };
}

export type FlowBaseline = readonly [string, () => Estimator];

export const flowBaselines: readonly FlowBaseline[] = [
  ["finite difference 30 s", () => finiteDifference(0.5 * minuteMs)],
  ["finite difference 10 min", () => finiteDifference(10 * minuteMs)],
  ["regression 20 min", () => regression(20 * minuteMs)],
  ["regression 20 min, reset on 100 g", () => regression(20 * minuteMs, 100)],
  ["plain Kalman", plainKalman],
];
