// A model of the thermometer MCP9808, with its alert bits set, which must not count.
import { mcp9808 } from "../chips/mcp9808.ts";
import { createWordSlave, type I2cSlave } from "./soft-bus.ts";

export function createSoftThermometer(tempC: () => number): I2cSlave {
  return createWordSlave({
    address: mcp9808.address,
    read(pointer) {
      if (pointer === mcp9808.identityRegister) return mcp9808.identity;
      if (pointer !== mcp9808.temperatureRegister) return 0;
      return 0xe000 | (Math.round(tempC() * 16) & 0x1fff);
    },
  });
}
