// What a log adds up to: sap is drawn off, left, or gone as steam; the pan's rate is found again.
import fc from "fast-check";
import { expect, it } from "vitest";
import { accountOfBoil, type LogEntry } from "../../../../server/domain/boil/account.ts";
import { tooMuchSugar } from "../../../../server/domain/boil/balance.ts";
import { panRecordOf } from "../../../../server/domain/boil/pan-record.ts";
import { sapDensityKgPerL } from "../../../../shared/sap/density.ts";
import { sapBoilingTempC } from "../../../../shared/syrup/activity.ts";
import { msPerHour } from "../../../../shared/units.ts";

const startedMs = Date.UTC(2026, 2, 14, 15);

function entry(kind: LogEntry["kind"], over: Partial<LogEntry>): LogEntry {
  const none = { volumeL: null, brix: null, tempC: null, offsetC: null };
  return { atMs: startedMs, kind, ...none, pressurePa: null, amount: null, ...over };
}

const boil = {
  startedMs,
  endedMs: startedMs + 5 * msPerHour,
  aimBrix: 66.9,
  panAreaM2: 0.5,
  fuel: "wood" as const,
  arch: "openFire" as const,
  moistureFraction: 0.2,
};
const sapOf = (volumeL: number, brix: number) => entry("sap", { volumeL, brix, tempC: 4 });

it("what was poured in is drawn off, left in the pan or gone as steam, whatever was logged", () => {
  fc.assert(
    fc.property(
      fc.record({
        volumeL: fc.double({ min: 20, max: 500, noNaN: true }),
        brix: fc.double({ min: 1, max: 5, noNaN: true }),
        drawnShare: fc.double({ min: 0, max: 1, noNaN: true }),
        panBrix: fc.double({ min: 16, max: 69, noNaN: true }),
      }),
      ({ volumeL, brix, drawnShare, panBrix }) => {
        const sugarKg = (volumeL * sapDensityKgPerL({ brix, tempC: 4 }) * brix) / 100;
        const drawnKg = (drawnShare * sugarKg) / 0.669;
        const drawnL = drawnKg / sapDensityKgPerL({ brix: 66.9, tempC: 20 });
        const tempC = sapBoilingTempC({ brix: panBrix, pressurePa: 98_000 }) + 0.3;
        const account = accountOfBoil({
          ...boil,
          entries: [
            sapOf(volumeL, brix),
            entry("drawn", { volumeL: drawnL, brix: 66.9 }),
            entry("pan", { tempC, offsetC: 0.3, pressurePa: 98_000 }),
          ],
        });
        const { sapKg, waterKg, leftKg } = account;
        expect(waterKg! + leftKg! + account.drawnKg).toBeCloseTo(sapKg, 6);
        expect(account.syrupVolumeL).toBeCloseTo(drawnL, 6);
        if (drawnShare < 0.9) {
          expect(leftKg!).toBeCloseTo(((1 - drawnShare) * sugarKg * 100) / panBrix, 1);
        }
      },
    ),
  );
});

it("a pan's rate and a fire's share are found again from its log", () => {
  // 100 L of 2 Brix to 66.9 in 5 h over 0.5 m2: 97.8 kg of water, 39.1 mm/h; 261 MJ from 60 kg of wood.
  const sapKg = 100 * sapDensityKgPerL({ brix: 2, tempC: 4 });
  const syrupL = (sapKg * 2) / 66.9 / sapDensityKgPerL({ brix: 66.9, tempC: 20 });
  const account = accountOfBoil({
    ...boil,
    entries: [
      sapOf(100, 2),
      entry("fuel", { amount: 60 }),
      entry("drawn", { volumeL: syrupL, brix: 66.9 }),
    ],
  });
  expect(account.waterKg).toBeCloseTo(sapKg * (1 - 2 / 66.9), 6);
  expect(account.evaporationMmPerH).toBeCloseTo(account.waterKg! / 2.5, 9);
  expect(account.efficiency! * account.fuelMj).toBeCloseTo(account.energyMj!, 9);
  expect(account.energyMj!).toBeGreaterThan(account.waterKg! * 2.25);
  const taught = { ...boil, ...account };
  const record = panRecordOf([taught, taught, taught], boil);
  // What burns under the pan makes the rate: another fire has to teach its own.
  const overGas = panRecordOf([taught, taught, taught], { ...boil, fuel: "propane" });
  expect(overGas.evaporation).toMatchObject({ boils: 0, usual: 40.7 });
  expect(overGas.evaporation.middle).toBeCloseTo(40.7, 6);
  expect(record.evaporation.boils).toBe(3);
  expect(Math.abs(record.evaporation.middle / account.evaporationMmPerH! - 1)).toBeLessThan(0.01);
  expect(record.efficiency.boils).toBe(3);
  const other = panRecordOf([taught], { fuel: "propane", arch: "openFire" });
  expect(other.efficiency).toMatchObject({ boils: 0, usual: 0.45 });
});

it("what isn't known is null: a pan not yet drawn off, one that goes on, one without a size", () => {
  const going = accountOfBoil({ ...boil, endedMs: null, entries: [sapOf(50, 2)] });
  expect(going).toMatchObject({ hours: null, waterKg: null, leftKg: null, energyMj: null });
  const thin = entry("pan", { tempC: 100.2, pressurePa: 101_325 });
  expect(accountOfBoil({ ...boil, entries: [sapOf(50, 2), thin] }).leftKg).toBeNull();
  const topped = [entry("pan", { tempC: 103 }), sapOf(50, 2)];
  expect(accountOfBoil({ ...boil, entries: topped }).leftKg).toBeNull();
  const sizeless = [sapOf(50, 2), entry("drawn", { volumeL: 1.15, brix: 66.9 })];
  const account = accountOfBoil({ ...boil, panAreaM2: null, entries: sizeless });
  expect([account.leftKg, account.evaporationMmPerH]).toEqual([0, null]);
});

it("a log with less fuel than the steam took teaches nothing of the fire", () => {
  const entries = [
    sapOf(50, 2),
    entry("drawn", { volumeL: 1.15, brix: 66.9 }),
    entry("fuel", { amount: 1 }),
  ];
  expect(accountOfBoil({ ...boil, entries }).efficiency).toBeNull();
});

it("a rate that no pan has teaches nothing: a boil of a minute, or of a week", () => {
  const entries = [sapOf(150, 2), entry("drawn", { volumeL: 3.4, brix: 66.9 })];
  const rateOf = (hours: number) =>
    accountOfBoil({ ...boil, endedMs: startedMs + hours * msPerHour, entries }).evaporationMmPerH;
  expect(rateOf(1 / 60)).toBeNull();
  expect(rateOf(0.45)).toBeNull();
  expect(rateOf(5)).toBeCloseTo(58.4, 0);
  expect(rateOf(200)).toBeNull();
});

it("sugar is not made by boiling, but readings may be off and the pan may have held some", () => {
  const holding = { holdUpL: 0.3, aimBrix: 66.9 };
  const tooMuchOf = (drawnL: number, holdUpL = 0.3) => {
    const entries = [sapOf(9, 2), entry("drawn", { volumeL: drawnL, brix: 66.9 })];
    return tooMuchSugar(accountOfBoil({ ...boil, entries }), { ...holding, holdUpL });
  };
  // 9 L at 2 Brix bring 0.181 kg of sugar, worth 0.2 L of syrup.
  expect(tooMuchOf(0.2)).toBeNull();
  expect(tooMuchOf(0.5)).toBeNull();
  expect(tooMuchOf(0.5, 0)).not.toBeNull();
  expect(tooMuchOf(5)?.drawnKg).toBeCloseTo(4.44, 1);
  const nothingIn = accountOfBoil({ ...boil, entries: [entry("drawn", { volumeL: 5 })] });
  expect(tooMuchSugar(nothingIn, holding)).toBeNull();
});
