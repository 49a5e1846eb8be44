// Holds the mixing of sap to what it must conserve.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { mixed, noSap, poured, type SapBody } from "../../../../server/domain/keeping/mixing.ts";
import { enthalpyOfLiquidJ, sapNode } from "../../../../server/domain/keeping/temperature.ts";

const body = fc.record({
  netG: fc.double({ min: 0.1, max: 5e5, noNaN: true }),
  enthalpyJ: fc.double({ min: -1e8, max: 1e8, noNaN: true }),
  counts: fc.array(fc.double({ min: 0, max: 1e12, noNaN: true }), { minLength: 3, maxLength: 3 }),
});
const near = (value: number, expected: number) =>
  Math.abs(value - expected) <= 1e-12 * Math.max(1, Math.abs(expected));

function expectSame(got: SapBody, expected: SapBody): void {
  expect(near(got.netG, expected.netG)).toBe(true);
  expect(near(got.enthalpyJ, expected.enthalpyJ)).toBe(true);
  expect(got.counts.length).toBe(expected.counts.length);
  got.counts.forEach((count, member) => {
    expect(near(count, expected.counts[member] ?? Number.NaN)).toBe(true);
  });
}

describe("sap poured together", () => {
  it("has the mass, the heat and the count of both", () => {
    const one = { netG: 4000, enthalpyJ: -1000, counts: [10, 20] };
    const other = { netG: 1000, enthalpyJ: 5000, counts: [1, 2] };
    expect(mixed(one, other)).toEqual({ netG: 5000, enthalpyJ: 4000, counts: [11, 22] });
  });

  it("is the same whichever is poured first, and however they are grouped", () => {
    fc.assert(
      fc.property(body, body, body, (one, other, third) => {
        expectSame(mixed(one, other), mixed(other, one));
        expectSame(mixed(mixed(one, other), third), mixed(one, mixed(other, third)));
      }),
    );
  });

  it("comes apart and together again as it was", () => {
    fc.assert(
      fc.property(body, fc.double({ min: -10, max: 1e6, noNaN: true }), (whole, takenG) => {
        const parts = poured(whole, takenG);
        expect(parts.poured.netG).toBeGreaterThanOrEqual(0);
        expect(parts.poured.netG).toBeLessThanOrEqual(whole.netG);
        expectSame(mixed(parts.poured, parts.rest), whole);
      }),
    );
  });

  it("is as warm as its parts in proportion when none of it is ice", () => {
    const warm = { netG: 3000, enthalpyJ: enthalpyOfLiquidJ(8, 3000), counts: [1] };
    const cool = { netG: 1000, enthalpyJ: enthalpyOfLiquidJ(2, 1000), counts: [1] };
    const both = mixed(warm, cool);
    expect(sapNode(both.enthalpyJ, both.netG).tempC).toBeCloseTo((3 * 8 + 2) / 4, 9);
  });

  it("melts the ice of one with the warmth of the other before it warms", () => {
    // 1 kg of which half is ice takes 163.5 kJ to melt; 3 kg at 20 C over freezing bring 247.2 kJ.
    const icy = { netG: 1000, enthalpyJ: -0.5 * 1000 * 327, counts: [1] };
    const warm = { netG: 3000, enthalpyJ: 3000 * 4.12 * 20, counts: [1] };
    const both = mixed(icy, warm);
    const node = sapNode(both.enthalpyJ, both.netG);
    expect(node.iceFraction).toBe(0);
    expect(node.tempC).toBeCloseTo(sapNode(0, 1).tempC + (247_200 - 163_500) / (4000 * 4.12), 9);
  });

  it("is unchanged by nothing, and nothing can be taken from nothing", () => {
    const some = { netG: 10, enthalpyJ: 5, counts: [7, 8] };
    expect(mixed(noSap, some)).toEqual(some);
    expect(mixed(some, noSap)).toEqual(some);
    expect(poured(noSap, 100).poured).toEqual(noSap);
  });

  it("refuses counts of other members", () => {
    const one = { netG: 1, enthalpyJ: 0, counts: [1, 2] };
    expect(() => mixed(one, { ...one, counts: [1] })).toThrow(RangeError);
  });
});
