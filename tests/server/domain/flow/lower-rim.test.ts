// A capacity entered too large: the bucket runs over where its record has room, and that is told.
import { expect, it } from "vitest";
import { contradictionOf } from "../../../../server/domain/flow/contradiction.ts";
import { flowEstimate } from "../../../../server/domain/flow/flow.ts";
import { advanceTrack, startTrack } from "../../../../server/domain/track.ts";
import { createSimulatedBucket, setup } from "./simulated-bucket.ts";

type Sim = ReturnType<typeof createSimulatedBucket>;
const rimG = 8000;

/** The rim that holds is lower than the one on record: what comes beyond it is lost. */
function createLeaky(flowGPerH: (hour: number) => number, seed = 1): Sim {
  return createSimulatedBucket({ netG: 4000, flowGPerH, airC: () => 6, seed });
}

function runUpTo(bucket: Sim, minutes: number, mostG = rimG): void {
  for (let minute = 0; minute < minutes; minute += 1) {
    bucket.truth.netG = Math.min(bucket.truth.netG, mostG);
    bucket.run(1);
  }
}

function empty(bucket: Sim): void {
  bucket.truth.away = true;
  bucket.run(2);
  bucket.truth.away = false;
  bucket.truth.netG = 60;
}

function saidOf(bucket: Sim): string | undefined {
  const track = bucket.readings.reduce(
    (before, reading) => advanceTrack(before, reading, setup).track,
    startTrack(),
  );
  const last = bucket.readings.at(-1)!;
  return contradictionOf(flowEstimate(track.flow, setup, last.atMs), setup, track);
}

function filledAndEmptied(times: number, seed: number): Sim {
  const bucket = createLeaky(() => 800, seed);
  for (let time = 0; time < times; time += 1) {
    runUpTo(bucket, 13 * 60);
    empty(bucket);
    runUpTo(bucket, 60);
  }
  return bucket;
}

it.each([1, 2, 3])(
  "is told when it stopped at one level twice and ran on once emptied (seed %i)",
  (seed) => {
    expect(saidOf(filledAndEmptied(1, seed))).toBeUndefined();
    expect(saidOf(filledAndEmptied(2, seed))).toBe("stops-below-its-rim");
  },
);

it("is not told of a bucket that is emptied at the rim on record", () => {
  const bucket = createLeaky(() => 800);
  for (let time = 0; time < 2; time += 1) {
    runUpTo(bucket, 16 * 60, setup.capacityG);
    empty(bucket);
    runUpTo(bucket, 60, setup.capacityG);
  }
  expect(saidOf(bucket)).toBeUndefined();
});

it("is not told of a tree that stops for the evening, however often, nor when it rests on once emptied", () => {
  const evening = (hour: number) => (hour % 12 < 6 ? 800 : 0);
  const bucket = createLeaky(evening);
  for (let day = 0; day < 3; day += 1) {
    runUpTo(bucket, 8 * 60, setup.capacityG);
    empty(bucket);
    runUpTo(bucket, 4 * 60 - 2, setup.capacityG);
    bucket.truth.netG = 4000;
  }
  expect(saidOf(bucket)).toBeUndefined();
});

it("is not told when it stood at two levels", () => {
  const bucket = createLeaky(() => 800);
  for (const mostG of [8000, 7000]) {
    runUpTo(bucket, 13 * 60, mostG);
    empty(bucket);
    runUpTo(bucket, 60, mostG);
  }
  expect(saidOf(bucket)).toBeUndefined();
});
