// The barometer BME280: its calibration words, and the way from its bytes to degrees and pascals.
// Bosch data sheet BST-BME280-DS001, sections 4.2.2 (trimming parameters) and 8.1 (compensation in
// double precision floating point); the worked figures are of the BMP280 data sheet, section 3.12,
// which has the same formulas. From memory.

export const bme280 = {
  address: 0x77,
  identityRegister: 0xd0,
  identity: 0x60,
  trimmingRegister: 0x88,
  trimmingLength: 24,
  humidityControlRegister: 0xf2,
  controlRegister: 0xf4,
  /** Temperature and pressure four times over, one measurement. */
  measureOnce: (3 << 5) | (3 << 2) | 1,
  /** The longest that takes: 1.25 + 2.3 x 4 + 2.3 x 4 + 0.575 ms (section 9.1). */
  measureMs: 25,
  dataRegister: 0xf7,
  dataLength: 6,
} as const;

export type Trimming = {
  /** dig_T1 to dig_T3. */
  temperature: readonly [number, number, number];
  /** dig_P1 to dig_P9. */
  pressure: readonly number[];
};

/** 24 bytes from 0x88: the low byte first; T1 and P1 without a sign, all others with one. */
export function trimmingFromBytes(bytes: readonly number[]): Trimming {
  const words = Array.from({ length: 12 }, (_, at) => {
    const raw = (bytes[2 * at] ?? 0) + 256 * (bytes[2 * at + 1] ?? 0);
    const isUnsigned = at === 0 || at === 3;
    return isUnsigned || raw < 0x8000 ? raw : raw - 0x10000;
  });
  const [t1 = 0, t2 = 0, t3 = 0, ...pressure] = words;
  return { temperature: [t1, t2, t3], pressure };
}

/** Six bytes from 0xF7: pressure then temperature, 20 bits each, the highest byte first. */
export function rawFromBytes(bytes: readonly number[]): { pressure: number; temperature: number } {
  const twenty = (from: number): number =>
    (bytes[from] ?? 0) * 4096 + (bytes[from + 1] ?? 0) * 16 + ((bytes[from + 2] ?? 0) >> 4);
  return { pressure: twenty(0), temperature: twenty(3) };
}

/** t_fine of the data sheet; 5120 of it are one degree. */
function fineTemperature(raw: number, [t1, t2, t3]: Trimming["temperature"]): number {
  const coarse = (raw / 16_384 - t1 / 1024) * t2;
  return coarse + (raw / 131_072 - t1 / 8192) ** 2 * t3;
}

export function bme280TempC(rawTemperature: number, trimming: Trimming): number {
  return fineTemperature(rawTemperature, trimming.temperature) / 5120;
}

/** Undefined where the formula has no answer (all trimming words 0: the chip wasn't read). */
export function bme280PressurePa(
  raw: { pressure: number; temperature: number },
  trimming: Trimming,
): number | undefined {
  const [p1 = 0, p2 = 0, p3 = 0, p4 = 0, p5 = 0, p6 = 0, p7 = 0, p8 = 0, p9 = 0] =
    trimming.pressure;
  const t = fineTemperature(raw.temperature, trimming.temperature) / 2 - 64_000;
  const offset = (((t * t * p6) / 32_768 + t * p5 * 2) / 4 + p4 * 65_536) as number;
  const slope = (1 + ((p3 * t * t) / 524_288 + p2 * t) / 524_288 / 32_768) * p1;
  if (slope === 0) return undefined;
  const first = ((1_048_576 - raw.pressure - offset / 4096) * 6250) / slope;
  return first + ((p9 * first * first) / 2_147_483_648 + (first * p8) / 32_768 + p7) / 16;
}
