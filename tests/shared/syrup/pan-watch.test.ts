// How near a pan is: against a pan that is boiled down by the balance of mass.
import fc from "fast-check";
import { expect, it } from "vitest";
import { sapBoilingTempC } from "../../../shared/syrup/activity.ts";
import { panWatch } from "../../../shared/syrup/pan-watch.ts";

const pressurePa = 98_500;
const minuteMs = 60_000;

/** A pan of panKg at brix that loses waterKgPerMin, read every few minutes. */
function boiledDown(pan: {
  panKg: number;
  brix: number;
  waterKgPerMin: number;
  minutes: number[];
}) {
  const sugarKg = (pan.panKg * pan.brix) / 100;
  return pan.minutes.map((minute) => {
    const brix = (100 * sugarKg) / (pan.panKg - pan.waterKgPerMin * minute);
    return { atMs: minute * minuteMs, tempC: sapBoilingTempC({ brix, pressurePa }) };
  });
}

it("the minutes that are left are those that the balance of mass has", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 3, max: 40, noNaN: true }),
      fc.double({ min: 20, max: 45, noNaN: true }),
      fc.double({ min: 0.02, max: 0.3, noNaN: true }),
      (panKg, brix, waterKgPerMin) => {
        const readyAt = (panKg * (1 - brix / 66.9)) / waterKgPerMin;
        const minutes = [0, 0.2, 0.4, 0.6].map((share) => share * readyAt);
        const readings = boiledDown({ panKg, brix, waterKgPerMin, minutes });
        const watch = panWatch({
          readings,
          pressurePa,
          aimBrix: 66.9,
          nowMs: readings.at(-1)!.atMs,
        });
        expect(watch!.minutesLeft! / (0.4 * readyAt)).toBeCloseTo(1, 3);
        expect(watch!.minutesLow!).toBeLessThanOrEqual(watch!.minutesLeft!);
        expect(watch!.minutesHigh!).toBeGreaterThanOrEqual(watch!.minutesLeft!);
      },
    ),
  );
});

it("it says to watch when minutes are left, to draw off at the temperature, and when it is past it", () => {
  const at = (brix: number) => ({ atMs: 0, tempC: sapBoilingTempC({ brix, pressurePa }) });
  const stateAt = (brix: number) =>
    panWatch({ readings: [at(brix)], pressurePa, aimBrix: 66.9, nowMs: 0 })?.state;
  expect([10, 55, 65, 66.95, 70].map(stateAt)).toEqual([
    "boiling",
    "near",
    "watch",
    "ready",
    "over",
  ]);
});

it("the nearer, the faster the temperature rises", () => {
  const readings = boiledDown({ panKg: 10, brix: 40, waterKgPerMin: 0.1, minutes: [0, 10, 20] });
  const { riseAtFinishCPerMin } = panWatch({
    readings,
    pressurePa,
    aimBrix: 66.9,
    nowMs: readings.at(-1)!.atMs,
  })!;
  const [, before, last] = readings;
  expect(riseAtFinishCPerMin!).toBeGreaterThan((last!.tempC - before!.tempC) / 10);
});

it("what has passed since the last reading is taken off, down to nothing", () => {
  const readings = boiledDown({ panKg: 10, brix: 40, waterKgPerMin: 0.1, minutes: [0, 10, 20] });
  const leftAt = (minutes: number) =>
    panWatch({ readings, pressurePa, aimBrix: 66.9, nowMs: minutes * minuteMs });
  // Ready when 10 x (1 - 40/66.9) = 4.02 kg of water are gone: at 40.2 min.
  expect(leftAt(20)!.minutesLeft!).toBeCloseTo(20.2, 1);
  expect(leftAt(30)!.minutesLeft!).toBeCloseTo(10.2, 1);
  expect(leftAt(30)!.state).toBe("watch");
  expect(leftAt(60)).toMatchObject({ minutesLeft: 0, state: "watch" });
});

it("one reading, or a pan that thins, tells no minutes; one that doesn't boil tells nothing", () => {
  const hot = { atMs: 0, tempC: 101 };
  expect(panWatch({ readings: [hot], pressurePa, aimBrix: 66, nowMs: 0 })?.minutesLeft).toBeNull();
  const thinning = [hot, { atMs: 60_000, tempC: 100.5 }];
  expect(
    panWatch({ readings: thinning, pressurePa, aimBrix: 66, nowMs: 0 })?.minutesLeft,
  ).toBeNull();
  const cold = { atMs: 0, tempC: 80 };
  expect(panWatch({ readings: [cold], pressurePa, aimBrix: 66, nowMs: 0 })).toBeUndefined();
});
