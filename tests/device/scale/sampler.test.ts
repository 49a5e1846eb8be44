// The sampler: medians that shrug off wild samples, and a quicker step after a change.
import fc from "fast-check";
import { expect, it } from "vitest";
import { createSampler, readingFromWindow } from "../../../device/scale/sampler.ts";

const calibration = { zeroCounts: 5_000, countsPerG: 100 };
const countsOf = (massG: number) => Array.from({ length: 10 }, () => 5_000 + 100 * massG);

it("takes the median of a window: up to four wild samples of ten change nothing", () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -8_000_000, max: 8_000_000 }), { maxLength: 4 }),
      (wild) => {
        const counts = [...countsOf(7_312).slice(wild.length), ...wild];
        const reading = readingFromWindow({ cell: "cell-1", atMs: 0, counts }, calibration);
        expect(reading).toEqual({
          cell: "cell-1",
          atMs: 0,
          massKg: 7.312,
          spreadKg: 0,
          counts: 736_200,
        });
      },
    ),
  );
});

it("gives the median distance from the median as spread", () => {
  const counts = [9_000, 9_500, 10_000, 10_500, 11_000];
  const reading = readingFromWindow({ cell: "cell-1", atMs: 0, counts }, calibration);
  expect(reading).toMatchObject({ massKg: 0.05, spreadKg: 0.005, counts: 10_000 });
});

it("throws for a window without samples", () => {
  expect(() => readingFromWindow({ cell: "cell-1", atMs: 0, counts: [] }, calibration)).toThrow(
    "a window requires at least one sample, got none",
  );
});

it("reads every 30 s, every 5 s for a minute after a change over 200 g, also when windows are missing", () => {
  const sampler = createSampler({ calibration: () => calibration, firstMs: 0, stepMs: 30_000 });
  const take = (massG: number) => {
    const atMs = sampler.dueMs();
    sampler.take({ cell: "cell-1", atMs, counts: countsOf(massG) });
    return sampler.dueMs() - atMs;
  };
  expect([take(1_000), take(1_200), take(1_000)]).toEqual([30_000, 30_000, 30_000]);
  expect(take(1_201)).toBe(5_000);
  sampler.miss();
  const steps = Array.from({ length: 10 }, () => take(1_201));
  expect(steps).toEqual(new Array(10).fill(5_000));
  expect(sampler.dueMs()).toBe(90_000 + 60_000);
  expect(take(1_201)).toBe(30_000);
});
