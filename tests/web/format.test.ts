// Numbers in fields and on axes, in people's units and back.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  formatMoment,
  massField,
  massKgFromField,
  volumeField,
  volumeLFromField,
} from "../../web/format.ts";
import { hourMs, nowMs } from "./sample-yard.ts";

describe.each(["metric", "us"] as const)("a field in %s units", (units) => {
  it("gives back the volume it shows, to the last digit shown", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 200, noNaN: true }), (volumeL) => {
        const back = volumeLFromField(volumeField(volumeL, units), units);
        expect(Math.abs((back ?? Number.NaN) - volumeL)).toBeLessThan(0.02);
      }),
    );
  });

  it("gives back the mass it shows, to the last digit shown", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 30, noNaN: true }), (massKg) => {
        const back = massKgFromField(massField(massKg, units), units);
        expect(Math.abs((back ?? Number.NaN) - massKg)).toBeLessThan(0.0006);
      }),
    );
  });

  it.each(["", " ", "much", "-1", "1e999"])("takes %j for no number", (text) => {
    expect(volumeLFromField(text, units)).toBeUndefined();
  });
});

it("a comma does for a decimal point", () => {
  expect(volumeLFromField("8,5", "metric")).toBe(8.5);
});

it("a time today goes without its day", () => {
  const time = { nowMs, timeZone: "America/New_York" };
  expect(formatMoment(nowMs, time)).toBe("15:40");
  expect(formatMoment(nowMs + 12 * hourMs, time)).toBe("tomorrow 3:40");
});
