// Tests how much a board may send before it has to wait, and for how long it is named then.
import { expect, it } from "vitest";
import { createAllowance } from "../../../server/ingest/allowance.ts";
import { createTestClock } from "../../helpers/store-rig.ts";

const minuteMs = 60_000;

function rig({ speed = 1 } = {}) {
  const clock = { ...createTestClock(), speed };
  return { clock, allowance: createAllowance({ clock, mostBytes: 100_000, bytesPerS: 2000 }) };
}

it("lets a whole outbox through at once, and then as much as comes in time", () => {
  const { clock, allowance } = rig();
  for (let pack = 0; pack < 50; pack += 1) expect(allowance.take("hill", 1000)).toBe(0);
  expect(allowance.tooFast()).toEqual([]);
  expect(allowance.take("hill", 1000)).toBe(1000);
  expect(allowance.take("hill", 1000)).toBe(2000);
  expect(allowance.tooFast()).toEqual(["hill"]);
  expect(allowance.take("dale", 1000)).toBe(0);
  clock.advance(3000);
  expect(allowance.take("hill", 1000)).toBe(0);
});

it("makes nobody wait longer than a broker is patient, however much came", () => {
  const { allowance } = rig();
  for (let pack = 0; pack < 1000; pack += 1) allowance.take("hill", 60_000);
  expect(allowance.take("hill", 60_000)).toBe(10_000);
});

it("names a board for ten minutes after it had to wait", () => {
  const { clock, allowance } = rig();
  allowance.take("hill", 200_000);
  clock.advance(9 * minuteMs);
  expect(allowance.tooFast()).toEqual(["hill"]);
  clock.advance(2 * minuteMs);
  expect(allowance.tooFast()).toEqual([]);
});

it("a clock that is set back refills nothing and takes nothing away", () => {
  const { clock, allowance } = rig();
  allowance.take("hill", 50_000);
  clock.advance(-60 * minuteMs);
  expect(allowance.take("hill", 40_000)).toBe(0);
  expect(allowance.take("hill", 10_000)).toBeGreaterThan(0);
});

it("with a clock that runs fast the wait is shorter by as much", () => {
  const { allowance } = rig({ speed: 600 });
  expect(allowance.take("hill", 101_000)).toBeCloseTo(1000 / 600, 6);
});

it("forgets who had to wait last of all, however many names come, and remembers no more than so many", () => {
  const { allowance } = rig();
  allowance.take("first", 200_000);
  for (let name = 0; name < 3000; name += 1) allowance.take(`calm-${name}`, 10);
  expect(allowance.tooFast()).toEqual(["first"]);
  for (let name = 0; name < 3000; name += 1) allowance.take(`fast-${name}`, 200_000);
  expect(allowance.tooFast()).toHaveLength(1000);
});
