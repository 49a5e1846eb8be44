// From the bytes of each chip to units: both ends of every range, and below zero.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  bme280PressurePa,
  bme280TempC,
  rawFromBytes,
  trimmingFromBytes,
} from "../../../device/chips/bme280.ts";
import { tempCFromMcp9808 } from "../../../device/chips/mcp9808.ts";
import { countsFromBytes, isSaturated } from "../../../device/chips/nau7802.ts";
import { muxControlByte } from "../../../device/chips/tca9548a.ts";
import { tempCFromTmp102 } from "../../../device/chips/tmp102.ts";

it("reads 24 bits as two's complement, the highest byte first", () => {
  expect(countsFromBytes([0x00, 0x00, 0x00])).toBe(0);
  expect(countsFromBytes([0x00, 0x00, 0x01])).toBe(1);
  expect(countsFromBytes([0xff, 0xff, 0xff])).toBe(-1);
  expect(countsFromBytes([0x7f, 0xff, 0xff])).toBe(8_388_607);
  expect(countsFromBytes([0x80, 0x00, 0x00])).toBe(-8_388_608);
});

it("gives back every count that fits in 24 bits", () => {
  fc.assert(
    fc.property(fc.integer({ min: -(2 ** 23), max: 2 ** 23 - 1 }), (counts) => {
      expect(countsFromBytes([(counts >> 16) & 255, (counts >> 8) & 255, counts & 255])).toBe(
        counts,
      );
    }),
  );
});

it("takes just the ends of the range as saturated", () => {
  expect(isSaturated(8_388_607)).toBe(true);
  expect(isSaturated(-8_388_608)).toBe(true);
  expect(isSaturated(8_388_606)).toBe(false);
  expect(isSaturated(-8_388_607)).toBe(false);
});

it("connects one branch of the multiplexer by one bit", () => {
  expect([0, 1, 2, 3, 4, 5, 6, 7].map(muxControlByte)).toEqual([1, 2, 4, 8, 16, 32, 64, 128]);
  expect(() => muxControlByte(8)).toThrow("requires a whole number from 0 to 7, got 8");
});

// Bytes by the register layout of Microchip DS25095, from memory: sign in bit 4 of the high byte.
it.each([
  [-40, [0x1d, 0x80]],
  [-7.5, [0x1f, 0x88]],
  [-0.0625, [0x1f, 0xff]],
  [0, [0x00, 0x00]],
  [12.25, [0x00, 0xc4]],
  [125, [0x07, 0xd0]],
])("reads %d C from an MCP9808, whatever its alert bits", (tempC, [high = 0, low = 0]) => {
  expect(tempCFromMcp9808([high, low])).toBe(tempC);
  expect(tempCFromMcp9808([high | 0xe0, low])).toBe(tempC);
});

// Texas Instruments SBOS397, table of 12-bit temperature data, from memory.
it.each([
  [127.9375, [0x7f, 0xf0]],
  [25, [0x19, 0x00]],
  [0.25, [0x00, 0x40]],
  [0, [0x00, 0x00]],
  [-0.25, [0xff, 0xc0]],
  [-25, [0xe7, 0x00]],
  [-55, [0xc9, 0x00]],
])("reads %d C from a TMP102", (tempC, bytes) => {
  expect(tempCFromTmp102(bytes)).toBe(tempC);
});

// The worked example of the Bosch BMP280 data sheet, section 3.12, from memory: T 25.08 C, p 100653.27 Pa.
it("gives the pressure and temperature of Bosch's worked example", () => {
  const words = [27504, 26435, -1000, 36477, -10685, 3024, 2855, 140, -7, 15500, -14600, 6000];
  const trimming = trimmingFromBytes(words.flatMap((word) => [word & 255, (word >> 8) & 255]));
  const twenty = (raw: number) => [raw >> 12, (raw >> 4) & 255, (raw & 15) << 4];
  const raw = rawFromBytes([...twenty(415_148), ...twenty(519_888)]);
  expect(raw).toEqual({ pressure: 415_148, temperature: 519_888 });
  expect(bme280TempC(raw.temperature, trimming)).toBeCloseTo(25.08, 2);
  expect(bme280PressurePa(raw, trimming)).toBeCloseTo(100_653.27, 1);
});

it("gives no pressure where the trimming words were not read", () => {
  const trimming = trimmingFromBytes(new Array(24).fill(0));
  expect(bme280PressurePa({ pressure: 415_148, temperature: 519_888 }, trimming)).toBeUndefined();
});
