// The thermometer MCP9808: its registers, and the way from its bytes to degrees.
// Microchip data sheet DS25095, register 5-4 (ambient temperature), from memory: three alert bits,
// a sign bit, then 12 bits of 1/16 C in two's complement. Identity: 0x0054 in register 6.

export const mcp9808 = {
  address: 0x18,
  temperatureRegister: 0x05,
  identityRegister: 0x06,
  identity: 0x0054,
} as const;

/** -40 to 125 C in steps of 0.0625 C; the alert bits don't count. */
export function tempCFromMcp9808([high = 0, low = 0]: readonly number[]): number {
  const raw = (high & 0x1f) * 256 + low;
  return (raw >= 0x1000 ? raw - 0x2000 : raw) / 16;
}
