// The plan of a boil: mass closes, nature is monotone, and doubt is told.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { panRecordOf } from "../../../../server/domain/boil/pan-record.ts";
import { type PlanInput, planOfBoil } from "../../../../server/domain/boil/plan.ts";
import { msPerHour } from "../../../../shared/units.ts";

const nowMs = Date.UTC(2026, 2, 14, 15);
const noBoils = panRecordOf([], { fuel: "wood", arch: "openFire" });

function input(over: Partial<PlanInput> = {}): PlanInput {
  return {
    nowMs,
    sap: { volumeL: 100, brix: 2, tempC: 4, boilByMs: null },
    aim: { law: "vermont", aimBrix: 66.9 },
    pressure: { pressurePa: 100_000, spreadPa: 100 },
    thermometer: null,
    panAreaM2: 0.33,
    fire: { fuel: "wood", arch: "openFire", wood: "sugarMaple", moistureFraction: 0.2 },
    holdUpL: 0.3,
    doneByMs: null,
    record: noBoils,
    ...over,
  };
}

const anySap = fc.record({
  volumeL: fc.double({ min: 0.5, max: 5000, noNaN: true }),
  brix: fc.double({ min: 0.5, max: 20, noNaN: true }),
  tempC: fc.double({ min: -2, max: 60, noNaN: true }),
});
const anyPressure = fc.record({
  pressurePa: fc.double({ min: 70_000, max: 105_000, noNaN: true }),
  spreadPa: fc.constantFrom(100, 300, 1500),
});

describe("mass and heat", () => {
  it("syrup and water weigh what the sap weighed, in every plan", () => {
    fc.assert(
      fc.property(anySap, anyPressure, (sap, pressure) => {
        const plan = planOfBoil(input({ sap: { ...sap, boilByMs: null }, pressure }));
        const { syrupKg, waterKg } = plan.syrup;
        expect(Math.abs((syrupKg + waterKg) / plan.massKg - 1)).toBeLessThan(1e-9);
        expect(Math.abs((syrupKg * 66.9) / (plan.massKg * sap.brix) - 1)).toBeLessThan(1e-9);
        expect(plan.syrup.bottledVolumeL).toBeLessThanOrEqual(plan.syrup.syrupVolumeL);
        expect(plan.heat.heatingMj + plan.heat.steamMj).toBeCloseTo(plan.heat.energyMj, 6);
      }),
    );
  });

  it("all three fuels bring the same heat into the sap", () => {
    const { fuel, heat } = planOfBoil(input());
    // 14.31 MJ/kg of wood at 20 % (18.5 x 0.8 - 2.44 x 0.2), 46.4 MJ/kg of propane, 3.6 MJ/kWh.
    expect(fuel.wood.woodKg * 14.312 * fuel.wood.efficiency).toBeCloseTo(heat.energyMj, 6);
    expect(fuel.propane.propaneKg * 46.4 * fuel.propane.efficiency).toBeCloseTo(heat.energyMj, 6);
    expect(fuel.electricity.energyKwh * 3.6 * fuel.electricity.efficiency).toBeCloseTo(
      heat.energyMj,
      6,
    );
  });

  it("more sap takes longer, sweeter sap makes more syrup, a wider pan is faster", () => {
    fc.assert(
      fc.property(anySap, (given) => {
        const sap = { ...given, boilByMs: null };
        const here = planOfBoil(input({ sap }));
        const more = planOfBoil(input({ sap: { ...sap, volumeL: sap.volumeL * 1.1 } }));
        const sweeter = planOfBoil(input({ sap: { ...sap, brix: sap.brix * 1.1 } }));
        const wider = planOfBoil(input({ sap, panAreaM2: 0.4 }));
        expect(more.hours!.middle).toBeGreaterThan(here.hours!.middle);
        expect(sweeter.syrup.syrupVolumeL).toBeGreaterThan(here.syrup.syrupVolumeL);
        expect(wider.hours!.middle).toBeLessThan(here.hours!.middle);
        expect(here.hours!.low).toBeLessThan(here.hours!.middle);
        expect(here.hours!.high).toBeGreaterThan(here.hours!.middle);
      }),
    );
  });

  it("no sap needs nothing, and no pan has no hours", () => {
    const none = planOfBoil(input({ sap: { volumeL: 0, brix: 2, tempC: 4, boilByMs: null } }));
    expect(none.syrup).toMatchObject({ syrupKg: 0, waterKg: 0, bottledVolumeL: 0 });
    expect(planOfBoil(input({ panAreaM2: null })).hours).toBeNull();
  });
});

describe("when to draw off, and how sure that is", () => {
  it("100 kPa: 66.9 Brix are ready at 103.80 C, and on a thermometer 0.4 high at 104.20", () => {
    // 99.606 C (IAPWS-IF97) + 4.19 C (Starzak & Peacock 1997).
    const thermometer = { offsetC: 0.4, old: false };
    const { finishing } = planOfBoil(input({ thermometer }));
    expect(finishing.finishingTempC).toBeCloseTo(103.8, 2);
    expect(finishing.onThermometerC).toBeCloseTo(104.2, 2);
  });

  it("a zeroed thermometer is sure to 0.4 to 0.5 Brix, whatever the barometer", () => {
    // 0.1 C is 0.4 Brix: slope of Starzak & Peacock 1997 near 66.9 Brix, 0.23 C a Brix.
    const thermometer = { offsetC: 0, old: false };
    const pressure = { pressurePa: 100_000, spreadPa: 1500 };
    const { finishing } = planOfBoil(input({ thermometer, pressure }));
    expect(finishing.spreadBrix).toBeGreaterThan(0.4);
    expect(finishing.spreadBrix).toBeLessThan(0.5);
  });

  it("without it a barometer 10 hPa off is 1.2 Brix more, and an old zero counts for nothing", () => {
    // The same slopes: 10 hPa x 0.028 C/hPa over 0.22 to 0.23 C a Brix.
    const at = (spreadPa: number) =>
      planOfBoil(input({ pressure: { pressurePa: 100_000, spreadPa } })).finishing.spreadBrix;
    expect(Math.sqrt(at(1000) ** 2 - at(0) ** 2)).toBeCloseTo(1.25, 1);
    const old = planOfBoil(input({ thermometer: { offsetC: 0.4, old: true } }));
    expect(old.finishing.spreadBrix).toBeGreaterThan(2);
    expect(old.finishing.onThermometerC).not.toBeNull();
  });
});

describe("when to light the fire", () => {
  it("by the slow end of the hours, for whichever comes first", () => {
    const doneByMs = nowMs + 30 * msPerHour;
    const sap = { volumeL: 50, brix: 2, tempC: 4, boilByMs: nowMs + 20 * msPerHour };
    const plan = planOfBoil(input({ sap, doneByMs }));
    expect(plan.start).toMatchObject({ because: "sap", lateMs: 0 });
    expect(plan.start!.startByMs).toBeCloseTo(sap.boilByMs - plan.hours!.high * msPerHour, -1);
    const tonight = planOfBoil(input({ sap, doneByMs: nowMs + msPerHour }));
    expect(tonight.start!.because).toBe("person");
    expect(tonight.start!.lateMs).toBeGreaterThan(0);
  });
});

it("a law that isn't known is refused with the value", () => {
  const aim = { law: "moon" as "usda", aimBrix: 66 };
  expect(() => planOfBoil(input({ aim }))).toThrow("got moon");
});
