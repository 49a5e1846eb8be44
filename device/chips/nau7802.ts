// Register facts of the load-cell amplifier NAU7802, and the way from its bytes to counts.
// Confirmed by the Linux kernel driver nau7802.c and two public hobby libraries; the data sheet
// itself was not at hand, and no real chip has been tried.

export const nau7802Address = 0x2a;

export const register = {
  puCtrl: 0x00,
  ctrl1: 0x01,
  ctrl2: 0x02,
  adc: 0x12,
  chopper: 0x15,
  power: 0x1c,
  revision: 0x1f,
} as const;

export const puCtrl = {
  reset: 0x01,
  digitalOn: 0x02,
  analogOn: 0x04,
  ready: 0x08,
  convert: 0x10,
  dataReady: 0x20,
  ownSupply: 0x80,
} as const;

/** 3.0 V for the bridge (it must stay below the board's 3.3 V) and a gain of 128. */
export const ctrl1 = (5 << 3) | 7;
/** 10 readings a second, which damps mains hum. */
export const ctrl2 = 0;
export const calibrate = 0x04;
export const calibrationFailed = 0x08;
/** Turns the chopper clock off, as all three drivers do. */
export const chopperOff = 0x30;
/** Uses the capacitor that the breakouts have at the second input; only with one cell to a chip. */
export const capacitorOn = 0x80;
export const revisionNibble = 0x0f;

/** All that makes a chip convert; what differs has lost its set-up. */
export const workingBits = puCtrl.digitalOn | puCtrl.analogOn | puCtrl.convert | puCtrl.ownSupply;

const full = 2 ** 23;

/** Two's complement of 24 bits, the highest byte first; -8,388,608 to 8,388,607. */
export function countsFromBytes(bytes: readonly number[]): number {
  const [high = 0, middle = 0, low = 0] = bytes;
  const raw = high * 65_536 + middle * 256 + low;
  return raw >= full ? raw - 2 * full : raw;
}

/** The ends of the range are what the chip gives for all that is beyond it. */
export function isSaturated(counts: number): boolean {
  return counts >= full - 1 || counts <= -full;
}
