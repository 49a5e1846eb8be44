// Numbers in fields and on axes, in people's units and back.
import fc from "fast-check";
import { expect, it } from "vitest";
import { parseQuantity } from "../../shared/parse-quantity.ts";
import { quantities } from "../../shared/quantities.ts";
import { formatMoment, massText } from "../../web/format.ts";
import { hourMs, nowMs } from "./sample-yard.ts";

it.each(["metric", "us"] as const)(
  "a cell’s weight taken over in %s units is kept to the gram",
  (units) => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 30, noNaN: true }), (massKg) => {
        const back = parseQuantity(massText(massKg, units), quantities.emptyKg, units);
        expect(Math.abs((back.ok ? back.value : Number.NaN) - massKg)).toBeLessThan(0.0006);
      }),
    );
  },
);

it("a time today goes without its day", () => {
  const time = { nowMs, timeZone: "America/New_York" };
  expect(formatMoment(nowMs, time)).toBe("15:40");
  expect(formatMoment(nowMs + 12 * hourMs, time)).toBe("tomorrow 3:40");
});
