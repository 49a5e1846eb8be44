// One bucket's track, written down and gone on with.
import { expect, it } from "vitest";
import type { BucketReading, BucketSetup } from "../../../server/domain/bucket.ts";
import {
  advanceTrack,
  rehangTrack,
  startTrack,
  type Track,
  trackFromJson,
  trackToJson,
} from "../../../server/domain/track.ts";
import { createRandom } from "../../helpers/random.ts";

const startMs = Date.parse("2026-03-14T12:00:00Z");
const everyMs = 60_000;
const setup: BucketSetup = { emptyG: 800, capacityG: 10_000 };

/** A bucket that fills by day and freezes by night, now and then hit by a spike. */
function readingsOf(days: number): BucketReading[] {
  const random = createRandom(11);
  return Array.from({ length: days * 1440 }, (_, index) => {
    const hour = (index / 60) % 24;
    const spikeG = random.uniform() < 0.01 ? 2000 : 0;
    const massG = 1500 + 0.8 * index + spikeG + 5 * random.gaussian();
    const airC = 1 - 8 * Math.cos((hour / 12) * Math.PI);
    return { atMs: startMs + index * everyMs, massG, airC, localHour: hour };
  });
}

function goOn(track: Track, readings: readonly BucketReading[]): Track {
  return readings.reduce((before, reading) => advanceTrack(before, reading, setup).track, track);
}

it("goes on with the same numbers after it was written down, wherever that was", () => {
  const readings = readingsOf(2);
  const whole = goOn(rehangTrack(startTrack(), 1), readings);
  for (const after of [0, 7, 700, 1441, 2000]) {
    const half = goOn(rehangTrack(startTrack(), 1), readings.slice(0, after));
    const stored = trackFromJson(trackToJson(half));
    if (stored === undefined) throw new Error("track requires one of today's model");
    expect(goOn(stored, readings.slice(after))).toEqual(whole);
  }
});

it("counts for nothing when it was reckoned in another way", () => {
  const { model, ...rest } = startTrack();
  expect(trackFromJson(trackToJson({ ...rest, model: model - 1 }))).toBeUndefined();
  expect(trackFromJson(JSON.stringify({ model: model - 1 }))).toBeUndefined();
});
