// The thermometer TMP102: its register, and the way from its bytes to degrees.
// Texas Instruments data sheet SBOS397, table 8 (12-bit format), from memory: the upper 12 of 16
// bits are 1/16 C in two's complement. It has no register that says what it is.

export const tmp102 = { address: 0x48, temperatureRegister: 0x00 } as const;

/** -55 to 128 C in steps of 0.0625 C, in the chip's normal mode. */
export function tempCFromTmp102([high = 0, low = 0]: readonly number[]): number {
  const raw = (high * 256 + low) >> 4;
  return (raw >= 0x800 ? raw - 0x1000 : raw) / 16;
}
