// How far flow estimates are from the truth: the product's filter and the plain methods beside it.
import type { BucketReading, BucketSetup, FlowEstimate } from "../../../server/domain/bucket.ts";

export type FlowMoment = {
  reading: BucketReading;
  estimate: FlowEstimate;
  setup: BucketSetup;
  /** What really ran. */
  flowGPerH: number;
  isFull: boolean;
};

export type FlowListener = { take(moment: FlowMoment): void; restart(): void };

export type FlowScore = FlowListener & { name: string; figures(): FlowFigures };

/** Litres an hour, with a kilogram taken for a litre and 8 grams. */
export type FlowFigures = {
  rmseRunning: number;
  rmse: number;
  median: number;
  p95: number;
  p99: number;
  idleP95: number;
  shareOff: number;
  coverage: number | null;
};

export type Estimator = { next(moment: FlowMoment): number | undefined; restart(): void };

const gPerL = 1007.9;
const runningGPerH = 20;
const offGPerH = 100;
const binGPerH = 0.5;
const bins = 40_000;
/** Cold starts are another table's matter. */
const settlingMs = 3_600_000;

export function createFlowScore(name: string, estimator: Estimator): FlowScore {
  const all = createErrors();
  const running = createErrors();
  const idle = createErrors();
  let held = 0;
  let firstMs: number | undefined;
  return {
    name,
    take(moment) {
      const { reading, estimate, flowGPerH, isFull } = moment;
      firstMs ??= reading.atMs;
      const said = estimator.next(moment);
      if (said === undefined || isFull || reading.atMs - firstMs < settlingMs) return;
      const error = Math.abs(said - flowGPerH);
      all.add(error);
      if (flowGPerH > runningGPerH) running.add(error);
      if (flowGPerH < 1) idle.add(error);
      held += Number(flowGPerH >= estimate.lowGPerH - 1 && flowGPerH <= estimate.highGPerH + 1);
    },
    restart() {
      firstMs = undefined;
      estimator.restart();
    },
    figures: () => ({
      rmseRunning: running.rms() / gPerL,
      rmse: all.rms() / gPerL,
      median: all.quantile(0.5) / gPerL,
      p95: all.quantile(0.95) / gPerL,
      p99: all.quantile(0.99) / gPerL,
      idleP95: idle.quantile(0.95) / gPerL,
      shareOff: all.shareAbove(offGPerH),
      coverage: name.startsWith("Brimful") ? held / all.count() : null,
    }),
  };
}

function createErrors() {
  const counts = new Uint32Array(bins + 1);
  let count = 0;
  let squares = 0;
  const countUpTo = (bin: number) => {
    let sum = 0;
    for (let index = 0; index <= bin; index += 1) sum += counts[index] ?? 0;
    return sum;
  };
  return {
    add(error: number) {
      const bin = Math.min(bins, Math.floor(error / binGPerH));
      counts[bin] = (counts[bin] ?? 0) + 1;
      count += 1;
      squares += error * error;
    },
    count: () => count,
    rms: () => Math.sqrt(squares / count),
    shareAbove: (limit: number) => 1 - countUpTo(Math.floor(limit / binGPerH) - 1) / count,
    quantile(share: number): number {
      let sum = 0;
      for (let index = 0; index <= bins; index += 1) {
        sum += counts[index] ?? 0;
        if (sum >= share * count) return (index + 0.5) * binGPerH;
      }
      return bins * binGPerH;
    },
  };
}
