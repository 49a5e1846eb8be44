// Laws of girth and diameter.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  diameterCmFromGirth,
  girthCmFromDiameter,
  girthSlip,
} from "../../../shared/trees/girth.ts";

const anyGirthCm = fc.double({ min: 5, max: 1400, noNaN: true });

it("girth gives a diameter that gives the girth back", () => {
  fc.assert(
    fc.property(anyGirthCm, (girthCm) => {
      const back = girthCmFromDiameter(diameterCmFromGirth(girthCm) * 1.0000001);
      expect(back / girthCm).toBeCloseTo(1, 6);
    }),
  );
});

it("half a girth is told from a true diameter", () => {
  fc.assert(
    fc.property(anyGirthCm, (girthCm) => {
      expect(girthSlip({ girthCm, diameterCm: girthCm / 2 })).toBe("halved");
      expect(girthSlip({ girthCm, diameterCm: girthCm })).toBe("same number");
      expect(girthSlip({ girthCm, diameterCm: diameterCmFromGirth(girthCm) })).toBeUndefined();
    }),
  );
  expect(girthSlip({ girthCm: 79.8, diameterCm: 25.4 })).toBeUndefined();
  expect(girthSlip({ girthCm: 144.8, diameterCm: 22.9 })).toBe("apart");
});

it("a girth no tree has is refused with the value", () => {
  expect(() => diameterCmFromGirth(4)).toThrow("got 4");
  expect(() => diameterCmFromGirth(Number.NaN)).toThrow(RangeError);
  expect(() => girthCmFromDiameter(1)).toThrow("got 3.14");
});
