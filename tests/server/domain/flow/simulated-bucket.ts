// A bucket whose truth is known: sap runs in, the cell weighs with noise, and the test handles it.
import type {
  BucketReading,
  BucketSetup,
  FlowEstimate,
  FlowEvent,
  Slot,
} from "../../../../server/domain/bucket.ts";
import { flowEstimate, startFlow, stepFlow } from "../../../../server/domain/flow/flow.ts";
import { startLedger, stepLedger } from "../../../../server/domain/flow/ledger.ts";
import { createRandom } from "../../../helpers/random.ts";

export const startMs = Date.UTC(2026, 2, 12, 10);
export const setup: BucketSetup = { emptyG: 700, capacityG: 11_000 };
const bareCellG = 0;

type Options = {
  seed?: number;
  noiseSdG?: number;
  stepS?: number;
  netG?: number;
  flowGPerH?: (hour: number) => number;
  airC?: (hour: number) => number;
};

/** Truth at each reading; heldG is what a hand or a lump adds to the weight, away takes the bucket off. */
export function createSimulatedBucket(options: Options = {}) {
  const { noiseSdG = 5, stepS = 30, flowGPerH = () => 0, airC } = options;
  const random = createRandom(options.seed ?? 1);
  const truth = { netG: options.netG ?? 2000, heldG: 0, away: false, hour: 0, inflowG: 0 };
  const readings: BucketReading[] = [];
  const flows: number[] = [];

  function weigh(): void {
    const bucketG = truth.away ? bareCellG : setup.emptyG + truth.netG + truth.heldG;
    const massG = bucketG + noiseSdG * random.gaussian();
    const air = airC === undefined ? {} : { airC: airC(truth.hour) };
    readings.push({ atMs: startMs + Math.round(truth.hour * 3_600_000), massG, ...air });
    flows.push(flowGPerH(truth.hour));
  }

  function step(): void {
    const inflowG = (flowGPerH(truth.hour) * stepS) / 3600;
    truth.hour += stepS / 3600;
    if (!truth.away) {
      const taken = Math.min(inflowG, setup.capacityG - truth.netG);
      truth.netG += taken;
      truth.inflowG += taken;
    }
  }

  /** Goes on for some minutes, weighing at each step unless unheard. */
  function run(minutes: number, unheard = false): void {
    for (let count = 0; count < (minutes * 60) / stepS; count += 1) {
      step();
      if (!unheard) {
        weigh();
      }
    }
  }

  weigh();
  return { truth, readings, flows, run };
}

export type Followed = {
  events: FlowEvent[];
  slots: Slot[];
  estimates: FlowEstimate[];
  last: FlowEstimate;
};

/** What filter and ledger make of readings, from the start. */
export function followed(readings: readonly BucketReading[], bucket = setup): Followed {
  let state = startFlow();
  let ledger = startLedger();
  const events: FlowEvent[] = [];
  const slots: Slot[] = [];
  const estimates: FlowEstimate[] = [];
  for (const reading of readings) {
    const step = stepFlow(state, reading, bucket);
    state = step.state;
    const estimate = flowEstimate(state, bucket, reading.atMs);
    const { airC } = reading;
    const booked = stepLedger(ledger, {
      estimate,
      events: step.events,
      ...(airC === undefined ? {} : { airC }),
    });
    ledger = booked.ledger;
    events.push(...step.events);
    slots.push(...booked.slots);
    estimates.push(estimate);
  }
  return { events, slots, estimates, last: estimates.at(-1)! };
}

export function kinds(result: Followed): string[] {
  return result.events.map((event) => event.kind);
}
