// The air to expect: forecast first, else the last day at the same hour, else nothing.
import { describe, expect, it } from "vitest";
import {
  addAir,
  createAirAhead,
  startAirDay,
} from "../../../../server/domain/keeping/air-ahead.ts";

const hourMs = 3_600_000;
const startMs = Date.parse("2026-03-14T00:00:00Z");

function dayOf(airAt: (hour: number) => number, hours = 24) {
  let day = startAirDay();
  for (let hour = 0; hour < hours; hour += 1) {
    day = addAir(day, { atMs: startMs + hour * hourMs, airC: airAt(hour) });
  }
  return day;
}

describe("air ahead", () => {
  it("is unknown when nothing was heard and nothing forecast", () => {
    expect(createAirAhead(startAirDay())).toBeNull();
  });

  it("repeats the last day at the same hour", () => {
    const air = createAirAhead(dayOf((hour) => hour));
    expect(air?.(startMs + 29 * hourMs + 1000)).toBe(5);
    expect(air?.(startMs + 100 * 24 * hourMs + 23 * hourMs)).toBe(23);
  });

  it("takes the day's mean for hours that were not heard", () => {
    const air = createAirAhead(dayOf((hour) => hour, 3));
    expect(air?.(startMs + 12 * hourMs)).toBe(1);
  });

  it("goes between a forecast's points and repeats the day beyond its end", () => {
    const points = [
      { atMs: startMs + 24 * hourMs, airC: 10 },
      { atMs: startMs + 26 * hourMs, airC: 14 },
    ];
    const air = createAirAhead(
      dayOf((hour) => hour),
      [...points].reverse(),
    );
    expect(air?.(startMs + 25 * hourMs)).toBeCloseTo(12, 9);
    expect(air?.(startMs + 26 * hourMs)).toBe(14);
    expect(air?.(startMs + 30 * hourMs)).toBe(6);
  });

  it("repeats a forecast's own last day when no air was heard", () => {
    const points = Array.from({ length: 25 }, (_, hour) => ({
      atMs: startMs + hour * hourMs,
      airC: hour,
    }));
    const air = createAirAhead(startAirDay(), points);
    expect(air?.(startMs + 27 * hourMs)).toBeCloseTo(3, 9);
    expect(air?.(startMs - hourMs)).toBe(0);
    expect(createAirAhead(startAirDay(), points.slice(0, 2))?.(startMs + 9 * hourMs)).toBe(1);
  });

  it("forgets the old day after a day of silence and leaves late values out", () => {
    const day = dayOf((hour) => hour);
    const anew = addAir(day, { atMs: startMs + 60 * hourMs, airC: -3 });
    expect(createAirAhead(anew)?.(startMs + 65 * hourMs)).toBe(-3);
    expect(addAir(day, { atMs: startMs, airC: 30 })).toBe(day);
  });
});
