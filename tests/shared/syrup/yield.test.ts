// Sugar and water are neither made nor lost when sap is boiled down or a batch is put right.
import fc from "fast-check";
import { expect, it } from "vitest";
import { adjustmentOfBatch } from "../../../shared/syrup/adjust.ts";
import {
  sapKgForSyrup,
  sapMassPerSyrupMass,
  sapVolumeByRule,
  sapVolumePerSyrupVolume,
  syrupFromSap,
  worthOfSap,
} from "../../../shared/syrup/yield.ts";

const anySapBrix = fc.double({ min: 0.5, max: 30, noNaN: true });
const anySyrupBrix = fc.double({ min: 60, max: 70, noNaN: true });
const anyKg = fc.double({ min: 0.1, max: 5000, noNaN: true });

it("syrup and water together weigh what the sap weighed, and hold its sugar", () => {
  fc.assert(
    fc.property(anyKg, anySapBrix, anySyrupBrix, (sapKg, sapBrix, syrupBrix) => {
      const made = syrupFromSap({ sapKg, sapBrix, syrupBrix });
      expect(made.syrupKg + made.waterKg).toBeCloseTo(sapKg, 8);
      expect(made.syrupKg * syrupBrix).toBeCloseTo(sapKg * sapBrix, 6);
      const { syrupVolumeL } = made;
      expect(sapKgForSyrup({ syrupVolumeL, sapBrix, syrupBrix })).toBeCloseTo(sapKg, 8);
    }),
  );
});

it("sweeter sap and thinner syrup take less sap", () => {
  fc.assert(
    fc.property(anySapBrix, anySyrupBrix, (sapBrix, syrupBrix) => {
      const here = sapVolumePerSyrupVolume({ sapBrix, syrupBrix });
      expect(sapVolumePerSyrupVolume({ sapBrix: sapBrix + 0.1, syrupBrix })).toBeLessThan(here);
      expect(sapVolumePerSyrupVolume({ sapBrix, syrupBrix: syrupBrix - 0.1 })).toBeLessThan(here);
    }),
  );
});

it("a batch put right has the aimed share of sugar, and only water or thinner changed its mass", () => {
  const anyBatchBrix = fc.double({ min: 40, max: 90, noNaN: true });
  const anyThinner = fc.constantFrom(0, 2, 20);
  fc.assert(
    fc.property(anyKg, anyBatchBrix, anyThinner, (batchKg, batchBrix, thinnerBrix) => {
      const aimBrix = 66.9;
      const made = adjustmentOfBatch({ batchKg, batchBrix, aimBrix, thinnerBrix });
      expect(batchKg - made.boilOffKg + made.addKg).toBeCloseTo(made.resultKg, 8);
      const sugar = batchKg * batchBrix + made.addKg * thinnerBrix;
      expect(sugar / made.resultKg).toBeCloseTo(aimBrix, 8);
      expect(Math.min(made.boilOffKg, made.addKg)).toBe(0);
    }),
  );
});

it("a batch already right needs nothing", () => {
  expect(adjustmentOfBatch({ batchKg: 5, batchBrix: 66.9, aimBrix: 66.9 })).toEqual({
    boilOffKg: 0,
    addKg: 0,
    resultKg: 5,
  });
});

it("what can't be is refused with the value", () => {
  expect(() => sapMassPerSyrupMass({ sapBrix: 0, syrupBrix: 66 })).toThrow("got 0 to 66");
  expect(() => sapMassPerSyrupMass({ sapBrix: 67, syrupBrix: 66 })).toThrow("got 67 to 66");
  expect(() => sapMassPerSyrupMass({ sapBrix: 2, syrupBrix: 71 })).toThrow(RangeError);
  expect(() => syrupFromSap({ sapKg: -1, sapBrix: 2, syrupBrix: 66 })).toThrow("got -1");
  expect(() => sapKgForSyrup({ syrupVolumeL: -2, sapBrix: 2, syrupBrix: 66 })).toThrow("got -2");
  expect(() => sapVolumeByRule(86, 0)).toThrow("got 0");
  const batch = { batchKg: 5, batchBrix: 70, aimBrix: 66 };
  expect(() => adjustmentOfBatch({ ...batch, batchKg: -5 })).toThrow("got -5");
  expect(() => adjustmentOfBatch({ ...batch, batchBrix: 95 })).toThrow("got 95");
  expect(() => adjustmentOfBatch({ ...batch, thinnerBrix: 66 })).toThrow("got 66");
});

it("a bucket's sap is worth its sugar, all of which is in the syrup; without sugar it is worth none", () => {
  const worth = worthOfSap({ volumeL: 100, brix: 2.5 });
  // 100.79 kg of sap: 2.52 kg of sugar, in syrup of 66 Brix and 1.3232 kg/L (ICUMSA) at 20 C.
  expect(worth?.sugarKg).toBeCloseTo(2.52, 2);
  expect(worth?.syrupVolumeL).toBeCloseTo(2.52 / 0.66 / 1.3232, 2);
  expect(worthOfSap({ volumeL: 100, brix: 0 })).toBeUndefined();
});
