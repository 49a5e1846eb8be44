// Reads the chips that tell of air: thermometers and the barometer, straight on the board's bus.
import {
  bme280,
  bme280PressurePa,
  bme280TempC,
  rawFromBytes,
  trimmingFromBytes,
} from "./bme280.ts";
import { type I2cBus, I2cError } from "./i2c-bus.ts";
import { mcp9808, tempCFromMcp9808 } from "./mcp9808.ts";
import { tempCFromTmp102, tmp102 } from "./tmp102.ts";

/** Degrees C. Throws I2cError; never a value that was not measured just now. */
export type ReadTempC = () => Promise<number>;

export type Barometer = () => Promise<{ tempC: number; pressurePa: number }>;

export function createMcp9808(bus: I2cBus, address: number = mcp9808.address): ReadTempC {
  return () =>
    bus.alone(async (direct) => {
      const identity = await direct.read({
        address,
        register: mcp9808.identityRegister,
        length: 2,
      });
      if ((identity[0] ?? 0) * 256 + (identity[1] ?? 0) !== mcp9808.identity) {
        throw new I2cError("absent", "thermometer MCP9808");
      }
      const { temperatureRegister: register } = mcp9808;
      return tempCFromMcp9808(await direct.read({ address, register, length: 2 }));
    });
}

export function createTmp102(bus: I2cBus, address: number = tmp102.address): ReadTempC {
  const request = { address, register: tmp102.temperatureRegister, length: 2 };
  return async () => tempCFromTmp102(await bus.read(request));
}

export function createBme280(
  bus: I2cBus,
  wait: (forMs: number) => Promise<void>,
  address: number = bme280.address,
): Barometer {
  return () =>
    bus.alone(async (direct) => {
      const read = (register: number, length: number) => direct.read({ address, register, length });
      const [identity] = await read(bme280.identityRegister, 1);
      if (identity !== bme280.identity) throw new I2cError("absent", "barometer BME280");
      const trimming = trimmingFromBytes(
        await read(bme280.trimmingRegister, bme280.trimmingLength),
      );
      await direct.write(address, [bme280.controlRegister, bme280.measureOnce]);
      await wait(bme280.measureMs);
      const raw = rawFromBytes(await read(bme280.dataRegister, bme280.dataLength));
      const pressurePa = bme280PressurePa(raw, trimming);
      // 0x80000 is what both hold before the first measurement (section 5.4.7, from memory).
      if (raw.pressure === 0x80000 || pressurePa === undefined) {
        throw new I2cError("silent", "barometer BME280");
      }
      return { tempC: bme280TempC(raw.temperature, trimming), pressurePa };
    });
}
