// How far ice lowers the rim: frozen fast it takes a tenth more room, floating it displaces its own mass.
import { describe, expect, it } from "vitest";
import { roomShareAhead } from "../../../../server/domain/brim/room.ts";

const netG = 5000;
/** Heat of melting as in server/domain/keeping/temperature.ts. */
const meltJ = netG * 327;
/** Sap of 1.0079 kg/L as ice of 0.917 kg/L. */
const swelling = 1.0079 / 0.917 - 1;

function shares(iceFraction: number, airC: number): number[] {
  return roomShareAhead({
    fromMs: 0,
    stepMs: 900_000,
    steps: 144,
    enthalpyJ: -iceFraction * meltJ,
    netG,
    airAheadC: () => airC,
  });
}

describe("room under the rim", () => {
  it("is all of it without ice", () => {
    expect(shares(0, 5).every((share) => share === 1)).toBe(true);
  });

  it("counts three tenths of loose ice while it melts", () => {
    expect(shares(0.4, 3)[0]).toBeCloseTo(1 / (1 + swelling * 0.3 * 0.4), 9);
    expect(shares(0.4, 3)[1]).toBeGreaterThan(1 / (1 + swelling * 0.3 * 0.4));
  });

  it("counts all of the ice while it grows", () => {
    const [, after = 0] = shares(0.4, -8);
    expect(after).toBeLessThan(1 / (1 + swelling * 0.4));
    expect(after).toBeGreaterThan(1 / (1 + swelling * 0.45));
  });

  it("counts all of the ice once six tenths are frozen, though it melts", () => {
    expect(shares(0.61, 0.5)[1]).toBeLessThan(1 / (1 + swelling * 0.59));
    expect(shares(0.59, 0.5)[1]).toBeGreaterThan(1 / (1 + swelling * 0.3 * 0.6));
  });

  it("leaves 0.91 of the capacity to a bucket that is frozen through", () => {
    expect(shares(1, -8).at(-1)).toBeCloseTo(0.917 / 1.0079, 6);
  });

  it("comes back with the thaw", () => {
    expect(shares(0.3, 15).at(-1)).toBe(1);
  });
});
